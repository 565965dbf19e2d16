// A route for people (a briefing of 80 columns), for programs (JSON) and for maps (feature layers).
#pragma once

#include <string>
#include <vector>

#include "solotaxi/aircraft/aircraft.hpp"
#include "solotaxi/io/vector_writer.hpp"
#include "solotaxi/motion/conditions.hpp"
#include "solotaxi/network/network.hpp"
#include "solotaxi/routing/route.hpp"

namespace solotaxi::report {

enum class Units { si, us };

/// The cautions every result carries.
[[nodiscard]] const std::vector<std::string>& cautions();

struct RouteContext {
  const network::Network* network = nullptr;
  const aircraft::Aircraft* aircraft = nullptr;
  const motion::Conditions* conditions = nullptr;
  std::string map_file;
};

[[nodiscard]] std::string route_text(const routing::Route& route, const RouteContext& context, Units units);
/// Keys as in data/schema/route.schema.json; SI always; ends with a line break.
[[nodiscard]] std::string route_json(const routing::Route& route, const RouteContext& context);
[[nodiscard]] std::vector<io::FeatureLayer> route_layers(const routing::Route& route, const RouteContext& context);

}  // namespace solotaxi::report
