// An estimate over many movements for people (80 columns) and for programs (JSON).
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "solotaxi/base/finding.hpp"
#include "solotaxi/motion/conditions.hpp"
#include "solotaxi/planning/estimate.hpp"
#include "solotaxi/planning/uncertainty.hpp"

namespace solotaxi::report {

struct EstimateContext {
  std::string movements_file;
  double mass_class_kg = 0.0;
  double oat_c = 15.0, qnh_hpa = 1013.25;
  std::string surface;
  std::string first_reject;              ///< "row 17: …"; "" where none is rejected
  std::vector<std::string> attribution;  ///< what the maps' licences ask for
  Findings findings;
};

/// `uncertainty`: where it was asked for, else null.
[[nodiscard]] std::string estimate_text(const planning::EstimateTotals& totals, const EstimateContext& context,
                                        const planning::Uncertainty* uncertainty);
/// Keys as in data/schema/estimate.schema.json; SI; ends with a line break.
[[nodiscard]] std::string estimate_json(const planning::EstimateTotals& totals, const EstimateContext& context,
                                        const planning::Uncertainty* uncertainty);
/// A line for the whole and for each field, aircraft, hour and month: fuel, saving and emissions, kg; with the
/// uncertainty's 5 %, median and 95 % behind them.
[[nodiscard]] std::string estimate_totals_csv(const planning::EstimateTotals& totals,
                                              const planning::Uncertainty* uncertainty);

/// Heading and rows of the file of single movements. Fuel in kg, emissions in g, times in s.
[[nodiscard]] std::string movement_heading();
struct MovementLine {
  std::uint64_t row = 0;
  std::string_view time, field, stand, runway, aircraft;
  bool departure = false;
};
void append_movement(std::string& to, const MovementLine& line, const planning::MovementFigures& figures);

}  // namespace solotaxi::report
