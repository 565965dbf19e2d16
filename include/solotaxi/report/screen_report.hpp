// A screened field for people (80 columns, or a page with a map), for programs (JSON), for tables (CSV) and for maps
// (feature layers).
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

/// All but the changed network must be set.
struct ScreenContext {
  const network::Network* network = nullptr;
  const planning::ScreenRequest* request = nullptr;  ///< with its changes
  std::string map_file;
  Findings findings;  ///< beside the network's
  /// What changed screens are of, where lines are new in it; stands and runways are those of `network`, in its order.
  const network::Network* changed_network = nullptr;
  std::vector<std::string> new_lines{};  ///< their map ids in it
};

[[nodiscard]] std::string screen_text(const std::vector<AircraftScreen>& screens, const ScreenContext& context,
                                      Units units);
/// Keys as in data/schema/screen.schema.json; SI always; ends with a line break.
[[nodiscard]] std::string screen_json(const std::vector<AircraftScreen>& screens, const ScreenContext& context);
/// A line for every aircraft, stand, runway end and direction; with what is changed in columns of its own.
[[nodiscard]] std::string screen_csv(const std::vector<AircraftScreen>& screens, const ScreenContext& context);
/// Layers "segments", "stands", "runways", "standard_routes" where they were drawn (a feature for each aircraft) and
/// "findings", with styles for QGIS: segments by what they lose, stands and routes by what has a plan on one engine.
[[nodiscard]] std::vector<io::FeatureLayer> screen_layers(const std::vector<AircraftScreen>& screens,
                                                          const ScreenContext& context);

/// One HTML page with a map of the field: its lines coloured by what they force, by use or by fuel lost, stands by their
/// plans, segments worth mending listed beside it. Like the page of a plan (report/page.hpp) it is one file, fetches
/// nothing, shows its first aircraft without the script, and prints on A4. Some 100 KB and 100 bytes a segment used and
/// screen.
[[nodiscard]] std::string screen_page(const std::vector<AircraftScreen>& screens, const ScreenContext& context,
                                      Units units);

/// The network's findings and the screens' own.
[[nodiscard]] Findings screen_findings(const std::vector<AircraftScreen>& screens, const ScreenContext& context);
/// "max grade 1.5 % on B".
[[nodiscard]] std::string change_words(const planning::Change& change);

}  // namespace solotaxi::report
