#include "bench/fields.hpp"

#include <algorithm>
#include <random>
#include <stdexcept>
#include <utility>

#include "bench/hub.hpp"
#include "routing/weights.hpp"
#include "solotaxi/airfield/interpret.hpp"
#include "solotaxi/io/map_file.hpp"
#include "solotaxi/motion/cost_table.hpp"
#include "solotaxi/network/build.hpp"

namespace solotaxi::bench {

using network::ArcId;
using network::index;
using network::NodeId;
using routing::kShut;
using routing::Objective;
using routing::Weight;

namespace {

/// Every arc and movement that every engine can drive; what the search rules out beside that only makes its work less.
Weights weights_of(const network::Network& net, const motion::CostTable& table, Objective objective) {
  const auto whole = [&](double length_m, const motion::Cost& cost) {
    return static_cast<Weight>(routing::units(objective, length_m, cost));
  };
  Weights w{std::vector<Weight>(net.arc_count(), kShut), std::vector<Weight>(net.movements.size(), kShut)};
  for (std::uint32_t a = 0; a < net.arc_count(); ++a)
    if (net.may_drive(ArcId{a}) && table.arc_verdict(ArcId{a}).verdict != motion::Verdict::blocked)
      w.arc[a] = whole(net.segment(ArcId{a}).length_m, table.arc(ArcId{a}));
  for (std::size_t m = 0; m < net.movements.size(); ++m) {
    const Weight entered = w.arc[index(net.movements[m].to)];
    if (entered == kShut || net.movements[m].turn_round) continue;
    if (table.movement(m).place.verdict == motion::Verdict::blocked) continue;
    w.movement[m] =
        std::max(whole(0.0, table.movement(m).cost), -entered);  // both are rounded, their sum is not below nought
  }
  return w;
}

Field complete(std::string name, network::Network net) {
  Field field{std::move(name), std::move(net), {}, {}};
  const aircraft::Aircraft aircraft;
  field.shape = shape_of(field.net, aircraft);
  const motion::CostTable table(field.net, field.shape, aircraft, aircraft::all_engines(aircraft), {});
  for (const Objective o : {Objective::distance, Objective::time, Objective::fuel})
    field.weights[static_cast<std::size_t>(o)] = weights_of(field.net, table, o);
  return field;
}

}  // namespace

network::Shape shape_of(const network::Network& net, const aircraft::Aircraft& aircraft) {
  network::ShapeOptions options;
  options.wheelbase_m = aircraft.wheelbase_m;
  options.steering_max_deg = aircraft.steering_max_deg;
  return network::trace_shape(net, options);
}

Field hub_field() { return complete("hub", hub_network(draw_hub())); }

std::optional<std::filesystem::path> lmml_file() {
  std::filesystem::path file = std::filesystem::path(SOLOTAXI_SHARED) / "airports/LMML/aeroway.osm";
  if (std::filesystem::exists(file)) return file;
  return std::nullopt;
}

network::Network read_network(const std::filesystem::path& file) {
  return network::build_network(airfield::interpret(io::read_map(file)));
}

Field lmml_field(const std::filesystem::path& file) { return complete("LMML", read_network(file)); }

std::vector<Query> place_queries(const Field& field, const routing::SearchGraph& graph, std::size_t count,
                                 std::uint64_t seed) {
  const network::Network& net = field.net;
  std::vector<NodeId> entries;
  for (const auto& runway : net.runways)
    for (const auto& entry : runway.entries) entries.push_back(entry.node);
  if (net.stands.empty() || entries.empty()) throw std::runtime_error("no stands or no runway entries to ask for");

  std::mt19937_64 random(seed);
  const auto out_of = [&](NodeId node) -> std::optional<ArcId> {
    std::vector<ArcId> arcs;
    for (const ArcId a : net.arcs_from(node))
      if (net.segment(a).kind != network::LineKind::runway) arcs.push_back(a);
    if (arcs.empty()) return std::nullopt;
    return arcs[random() % arcs.size()];
  };
  routing::ArcSearch search(graph);
  std::vector<Query> queries;
  for (std::size_t tries = 0; queries.size() < count; ++tries) {
    if (tries > 100 * count) throw std::runtime_error("too few ways between stands and runway entries");
    const auto stand = out_of(net.stands[random() % net.stands.size()].node);
    const auto entry = out_of(entries[random() % entries.size()]);
    if (!stand || !entry) continue;
    const bool departure = queries.size() % 2 == 0;
    const ArcId from = departure ? *stand : *entry, to = network::reversed(departure ? *entry : *stand);
    const routing::Terminal seed_at{from, 0}, goal_at{to, 0};
    if (search.find({&seed_at, 1}, {&goal_at, 1})) queries.push_back({index(from), index(to)});
  }
  return queries;
}

}  // namespace solotaxi::bench
