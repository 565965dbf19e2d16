// The rows of an estimate, one after the other. Split from the command so that tests can hold it at a row.
#pragma once

#include <iosfwd>
#include <map>
#include <optional>
#include <string>
#include <unordered_map>

#include "options.hpp"
#include "output.hpp"
#include "solotaxi/io/movement_file.hpp"
#include "solotaxi/io/staged_writer.hpp"
#include "solotaxi/planning/estimate.hpp"
#include "solotaxi/report/estimate_report.hpp"

namespace solotaxi::cli {

class EstimateRun {
 public:
  /// Reads settings, fields and the movements' heading. `progress` as in estimate_command.
  EstimateRun(const EstimateOptions& options, std::ostream* progress);
  /// Every row. Throws Error (data) where too many are rejected; the file of rejects is then written all the same.
  void run();
  [[nodiscard]] const planning::EstimateTotals& totals() const { return totals_; }
  [[nodiscard]] report::EstimateContext& context() { return context_; }
  /// Puts the files in their places once the text is out.
  void release(std::ostream& out, const std::string& text);

 private:
  struct TextHash {
    using is_transparent = void;
    std::size_t operator()(std::string_view text) const { return std::hash<std::string_view>{}(text); }
  };
  using Ids = std::unordered_map<std::string, std::size_t, TextHash, std::equal_to<>>;

  void read_fields();
  void read_row();
  void reject(const std::string& reason);
  [[nodiscard]] std::optional<std::size_t> aircraft_of_row();
  [[nodiscard]] std::size_t add_aircraft(const std::string& name, const aircraft::Aircraft& aircraft, double mass_kg);
  void tell_progress(bool last);

  const EstimateOptions& options_;
  std::ostream* progress_;
  io::MovementColumns columns_;
  std::map<std::string, io::FleetEntry> fleet_;
  planning::Estimate estimate_;
  Ids fields_, aircraft_;
  report::EstimateContext context_;
  planning::EstimateTotals totals_;
  std::optional<io::MovementReader> reader_;
  std::optional<io::StagedWriter> per_flight_, rejects_;
  std::int64_t rows_ = 0, rejected_ = 0;
  double began_s_ = 0.0, told_s_ = 0.0;
};

}  // namespace solotaxi::cli
