#include "bench/hub.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <queue>
#include <stdexcept>
#include <string>
#include <utility>

namespace solotaxi::bench {
namespace {

using network::LineKind;
using network::OneWay;
using test::random_int;
using test::random_unit;

constexpr std::uint32_t kColumns = 36, kRows = 23;
constexpr std::uint32_t kRunwayRows[kHubRunways] = {1, 4, 18, 21};
constexpr double kColumn_m = 128.0, kRow_m = 180.0;
constexpr double kMissing = 0.02;  // share of taxiway lines left out of the grid

int runway_in(std::uint32_t row) {
  const auto* at = std::find(std::begin(kRunwayRows), std::end(kRunwayRows), row);
  return at == std::end(kRunwayRows) ? -1 : static_cast<int>(at - std::begin(kRunwayRows));
}

class Drawing {
 public:
  explicit Drawing(std::uint64_t seed) : random_(seed) {}

  Hub draw() {
    draw_grid();
    draw_stands();
    divide();
    choose_one_way();
    bend();
    list_runways();
    return std::move(hub_);
  }

 private:
  double spread(double most) { return most * (2.0 * random_unit(random_) - 1.0); }

  void add(std::uint32_t from, std::uint32_t to, LineKind kind, int runway, std::uint32_t edge) {
    hub_.lines.push_back({from, to, {}, kind, OneWay::no});
    hub_.runway_of.push_back(static_cast<std::int8_t>(runway));
    edge_.push_back(edge);
  }

  void draw_grid() {
    for (std::uint32_t row = 0; row < kRows; ++row) {
      for (std::uint32_t column = 0; column < kColumns; ++column) {
        const double off = runway_in(row) >= 0 ? 0.0 : spread(35.0);
        hub_.nodes.push_back(
            {kColumn_m * (column - 0.5 * (kColumns - 1)) + spread(35.0), kRow_m * (row - 0.5 * (kRows - 1)) + off});
      }
    }
    for (std::uint32_t row = 0; row < kRows; ++row) {
      for (std::uint32_t column = 0; column < kColumns; ++column) {
        const std::uint32_t n = row * kColumns + column;
        const int runway = runway_in(row);
        if (column + 1 < kColumns && (runway >= 0 || random_unit(random_) >= kMissing))
          add(n, n + 1, runway >= 0 ? LineKind::runway : LineKind::taxiway, runway, edges_++);
        if (row + 1 < kRows && random_unit(random_) >= kMissing) add(n, n + kColumns, LineKind::taxiway, -1, edges_++);
      }
    }
  }

  /// Puts a node in the middle of a line; returns it. `off` metres to the left.
  std::uint32_t split(std::size_t line, double share, double off) {
    const LocalXY a = hub_.nodes[hub_.lines[line].from], b = hub_.nodes[hub_.lines[line].to];
    const LocalXY along = b - a;
    const double length = distance_m(a, b);
    const auto middle = static_cast<std::uint32_t>(hub_.nodes.size());
    hub_.nodes.push_back(a + along * share + LocalXY{-along.y_m, along.x_m} * (off / length));
    add(middle, hub_.lines[line].to, hub_.lines[line].kind, hub_.runway_of[line], edge_[line]);
    hub_.lines[line].to = middle;
    return middle;
  }

  void draw_stands() {
    std::vector<std::size_t> beside;  // lines across the middle of the field
    for (std::size_t i = 0; i < hub_.lines.size(); ++i) {
      const std::uint32_t row = hub_.lines[i].from / kColumns;
      if (row >= 6 && row <= 16 && hub_.lines[i].to == hub_.lines[i].from + 1) beside.push_back(i);
    }
    if (beside.size() < kHubStands) throw std::logic_error("hub: too few lines for the stands");
    for (std::size_t stand = 0; stand < kHubStands; ++stand) {
      const auto other = static_cast<std::size_t>(
          random_int(random_, static_cast<std::int64_t>(stand), static_cast<std::int64_t>(beside.size()) - 1));
      std::swap(beside[stand], beside[other]);
      hub_.lines[beside[stand]].kind = LineKind::taxilane;
      const std::uint32_t foot = split(beside[stand], 0.5 + spread(0.15), 0.0);
      const auto end = static_cast<std::uint32_t>(hub_.nodes.size());
      const double side = random_unit(random_) < 0.5 ? 1.0 : -1.0;
      hub_.nodes.push_back(hub_.nodes[foot] + LocalXY{spread(15.0), side * (60.0 + spread(10.0))});
      add(foot, end, LineKind::stand_line, -1, edges_++);
      hub_.stands.push_back(end);
    }
  }

  /// Divides the longest lines until there are as many as asked for, as a map's own nodes and 100 m parts do.
  void divide() {
    const auto length = [&](std::size_t i) {
      return distance_m(hub_.nodes[hub_.lines[i].from], hub_.nodes[hub_.lines[i].to]);
    };
    std::priority_queue<std::pair<double, std::size_t>> longest;
    for (std::size_t i = 0; i < hub_.lines.size(); ++i) longest.emplace(length(i), i);
    while (hub_.lines.size() < kHubSegments) {
      const std::size_t line = longest.top().second;
      longest.pop();
      const bool runway = hub_.runway_of[line] >= 0;
      split(line, 0.5 + spread(0.2), runway ? 0.0 : spread(4.0));
      longest.emplace(length(line), line);
      longest.emplace(length(hub_.lines.size() - 1), hub_.lines.size() - 1);
    }
  }

  /// Whole taxiways between two junctions, until the number of segments is met.
  void choose_one_way() {
    std::vector<std::vector<std::size_t>> parts(edges_);
    for (std::size_t i = 0; i < hub_.lines.size(); ++i)
      if (hub_.lines[i].kind == LineKind::taxiway) parts[edge_[i]].push_back(i);
    std::size_t chosen = 0;
    for (int tries = 0; chosen < kHubOneWay && tries < 100'000; ++tries) {
      auto& edge = parts[static_cast<std::size_t>(random_int(random_, 0, static_cast<std::int64_t>(edges_) - 1))];
      if (edge.empty() || chosen + edge.size() > kHubOneWay) continue;
      const OneWay way = random_unit(random_) < 0.5 ? OneWay::forward : OneWay::backward;
      for (const std::size_t line : edge) hub_.lines[line].one_way = way;
      chosen += edge.size();
      edge.clear();
    }
    if (chosen != kHubOneWay) throw std::logic_error("hub: one-way lines do not come out even");
  }

  /// A vertex a little off the middle of every second taxiway line.
  void bend() {
    for (test::DrawnLine& line : hub_.lines) {
      if (line.kind != LineKind::taxiway || random_unit(random_) < 0.5) continue;
      const LocalXY a = hub_.nodes[line.from], b = hub_.nodes[line.to];
      const LocalXY along = b - a;
      line.between.push_back((a + b) * 0.5 + LocalXY{-along.y_m, along.x_m} * (spread(1.5) / distance_m(a, b)));
    }
  }

  void list_runways() {
    hub_.runways.resize(kHubRunways);
    for (std::size_t i = 0; i < hub_.lines.size(); ++i) {
      if (hub_.runway_of[i] < 0) continue;
      auto& nodes = hub_.runways[static_cast<std::size_t>(hub_.runway_of[i])].nodes;
      nodes.push_back(hub_.lines[i].from);
      nodes.push_back(hub_.lines[i].to);
    }
    for (auto& runway : hub_.runways) {
      std::sort(runway.nodes.begin(), runway.nodes.end(),
                [&](std::uint32_t a, std::uint32_t b) { return hub_.nodes[a].x_m < hub_.nodes[b].x_m; });
      runway.nodes.erase(std::unique(runway.nodes.begin(), runway.nodes.end()), runway.nodes.end());
    }
  }

  std::mt19937_64 random_;
  Hub hub_;
  std::vector<std::uint32_t> edge_;  // by line: the grid line it is part of
  std::uint32_t edges_ = 0;
};

std::array<std::string, 2> designators(std::size_t runway) {
  // Parallel pairs far enough apart to be told by number as well as by letter.
  static constexpr const char* kNames[kHubRunways][2] = {{"09R", "27L"}, {"09L", "27R"}, {"10R", "28L"}, {"10L", "28R"}};
  return {kNames[runway][0], kNames[runway][1]};
}

}  // namespace

Hub draw_hub(std::uint64_t seed) { return Drawing(seed).draw(); }

network::Network hub_network(const Hub& hub) {
  network::Network net = test::draw_network(hub.nodes, hub.lines);
  net.name = "invented hub";
  for (std::size_t r = 0; r < hub.runways.size(); ++r) {
    network::Runway runway;
    runway.id = "runway/" + std::to_string(r + 1);
    runway.designators = designators(r);
    runway.name = runway.designators[0] + "/" + runway.designators[1];
    runway.front = network::NodeId{hub.runways[r].nodes.front()};
    runway.back = network::NodeId{hub.runways[r].nodes.back()};
    runway.heading_rad = heading(net.node(runway.front).xy, net.node(runway.back).xy).value();
    net.runways.push_back(std::move(runway));
  }
  for (std::uint32_t i = 0; i < hub.lines.size(); ++i) {
    net.segments[i].source_id = "line/" + std::to_string(i + 1);
    net.segments[i].runway = hub.runway_of[i];
    if (hub.runway_of[i] >= 0)
      net.runways[static_cast<std::size_t>(hub.runway_of[i])].segments.push_back(network::SegmentId{i});
  }
  for (std::size_t r = 0; r < net.runways.size(); ++r) {
    auto& runway = net.runways[r];
    std::sort(runway.segments.begin(), runway.segments.end(), [&](network::SegmentId a, network::SegmentId b) {
      return net.node(net.segment(a).from).xy.x_m < net.node(net.segment(b).from).xy.x_m;
    });
    for (const std::uint32_t node : hub.runways[r].nodes) {
      const network::NodeId id{node};
      if (net.arcs_from(id).size() > 2)
        runway.entries.push_back({id, distance_m(net.node(runway.front).xy, net.node(id).xy), {}});
    }
    for (const network::SegmentId s : runway.segments) runway.length_m += net.segment(s).length_m;
  }
  for (std::size_t s = 0; s < hub.stands.size(); ++s)
    net.stands.push_back({"stand/" + std::to_string(s + 1), std::to_string(s + 1), network::NodeId{hub.stands[s]}, false});
  return net;
}

airfield::Airfield hub_airfield(const Hub& hub) {
  airfield::Airfield field;
  field.name = "invented hub";
  field.frame = LocalFrame{LatLon::degrees(0.0, -30.0)};
  field.elevation = Metres{0.0};
  const auto vertex = [&](std::uint32_t node) {
    return airfield::Vertex{field.frame.to_geodetic(hub.nodes[node]), std::nullopt, std::int64_t{node} + 1};
  };
  auto ref = static_cast<std::int64_t>(hub.nodes.size());
  std::vector<std::size_t> ends_at(hub.nodes.size(), 0);  // number of the centreline that ends at a node
  for (std::size_t i = 0; i < hub.lines.size(); ++i) {
    if (hub.runway_of[i] >= 0) continue;
    const test::DrawnLine& line = hub.lines[i];
    airfield::Centreline centreline;
    centreline.id = "line/" + std::to_string(i + 1);
    centreline.kind = line.kind;
    centreline.one_way = line.one_way;
    centreline.line.push_back(vertex(line.from));
    for (const LocalXY& at : line.between) centreline.line.push_back({field.frame.to_geodetic(at), std::nullopt, ++ref});
    centreline.line.push_back(vertex(line.to));
    ends_at[line.to] = field.centrelines.size();
    field.centrelines.push_back(std::move(centreline));
  }
  for (std::size_t r = 0; r < hub.runways.size(); ++r) {
    airfield::Runway runway;
    runway.id = "runway/" + std::to_string(r + 1);
    runway.designators = designators(r);
    for (const std::uint32_t node : hub.runways[r].nodes) runway.line.push_back(vertex(node));
    field.runways.push_back(std::move(runway));
  }
  for (std::size_t s = 0; s < hub.stands.size(); ++s) {
    const auto at = vertex(hub.stands[s]);
    field.stands.push_back(
        {"stand/" + std::to_string(s + 1), std::to_string(s + 1), at.at, at.ref, ends_at[hub.stands[s]], false});
  }
  return field;
}

}  // namespace solotaxi::bench
