#include "solotaxi/network/build.hpp"

#include <algorithm>

#include "network/draft.hpp"
#include "solotaxi/base/error.hpp"

namespace solotaxi::network {
namespace {

void check_input(const airfield::Airfield& field, const BuildOptions& options) {
  const bool any_taxiway = std::any_of(field.centrelines.begin(), field.centrelines.end(), [](const auto& c) {
    return (c.kind == LineKind::taxiway || c.kind == LineKind::taxilane) && c.line.size() >= 2;
  });
  if (!any_taxiway)
    throw data_error("no taxiway centreline in the map of " + (field.name.empty() ? "this aerodrome" : field.name), {},
                     "taxiways must be drawn as lines; areas of pavement have no centreline");
  if (field.runways.empty())
    throw data_error("no runway in the map of " + (field.name.empty() ? "this aerodrome" : field.name), {},
                     "the extract may be clipped; it must hold the runways as lines or as closed rings");
  for (const auto& r : field.runways)
    if (r.line.size() < 2) throw data_error("runway without a centreline", {"", {}, r.id});
  const auto positive = [](double value, const char* what) {
    if (!(value >= 0.0 && std::isfinite(value)))
      throw usage_error(std::string(what) + " must be a finite number of metres, not negative");
  };
  positive(options.snap_m, "snap distance");
  positive(options.runway_reach_m, "reach to a runway");
  positive(options.stand_reach_m, "reach of a stand");
  positive(options.assumed_hold_m, "distance of an assumed holding position");
  if (!(options.knot_spacing_m >= 0.1 && std::isfinite(options.knot_spacing_m)))
    throw usage_error("spacing of the height profile must be at least 0.1 m");
}

}  // namespace

Network build_network(const airfield::Airfield& field, const BuildOptions& options,
                      std::span<const terrain::HeightSource* const> sources) {
  check_input(field, options);
  detail::Draft draft(field, options);
  detail::start_draft(draft);
  detail::node_lines(draft);
  detail::join_ends(draft);
  detail::join_ring_runways(draft);
  detail::join_stands(draft);
  detail::place_holding_points(draft);
  detail::unite_places(draft);
  detail::mark_spikes(draft);

  Network net = detail::lay_out(draft);
  net.findings = field.findings;
  net.findings.insert(net.findings.end(), std::make_move_iterator(draft.findings.begin()),
                      std::make_move_iterator(draft.findings.end()));
  detail::lay_out_runways(net, field);
  detail::add_movements(net, draft.geos);
  detail::number_components(net);
  detail::report_parts(net);
  detail::add_profiles(net, draft, sources);
  return net;
}

}  // namespace solotaxi::network
