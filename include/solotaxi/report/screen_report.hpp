// A screened field for people (80 columns), for programs (JSON), for tables (CSV) and for maps (feature layers).
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "solotaxi/planning/screen.hpp"
#include "solotaxi/report/route_report.hpp"

namespace solotaxi::report {

/// One aircraft's screen, and that of the field with its changes.
struct AircraftScreen {
  const aircraft::Aircraft* aircraft = nullptr;
  const motion::Conditions* conditions = nullptr;
  planning::Screen now;
  std::optional<planning::Screen> changed;
};

/// All must be set.
struct ScreenContext {
  const network::Network* network = nullptr;
  const planning::ScreenRequest* request = nullptr;  ///< with its changes
  std::string map_file;
  Findings findings;  ///< beside the network's
};

[[nodiscard]] std::string screen_text(const std::vector<AircraftScreen>& screens, const ScreenContext& context,
                                      Units units);
/// Keys as in data/schema/screen.schema.json; SI always; ends with a line break.
[[nodiscard]] std::string screen_json(const std::vector<AircraftScreen>& screens, const ScreenContext& context);
/// A line for every aircraft, stand, runway end and direction; with what is changed in columns of its own.
[[nodiscard]] std::string screen_csv(const std::vector<AircraftScreen>& screens, const ScreenContext& context);
/// Layers "segments", "stands", "runways" (a feature for each aircraft) and "findings", with styles for QGIS: segments by
/// what they lose, stands by their saving.
[[nodiscard]] std::vector<io::FeatureLayer> screen_layers(const std::vector<AircraftScreen>& screens,
                                                          const ScreenContext& context);

/// The network's findings and the screens' own.
[[nodiscard]] Findings screen_findings(const std::vector<AircraftScreen>& screens, const ScreenContext& context);
/// "max grade 1.5 % on B".
[[nodiscard]] std::string change_words(const planning::Change& change);

}  // namespace solotaxi::report
