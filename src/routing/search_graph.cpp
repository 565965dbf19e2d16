#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <stdexcept>
#include <string>

#include "solotaxi/routing/search.hpp"

namespace solotaxi::routing {
namespace {

/// Rates are taken this much smaller, far above the rounding of planar distances and far below any use of the bound.
constexpr double kRounding = 1e-9;
/// Shares of arcs that may fall short of the rate, tried from the safest on.
constexpr std::array kShortShares = {0.0, 0.002, 0.01, 0.03, 0.1};

}  // namespace

SearchGraph::SearchGraph(const network::Network& network, std::span<const Weight> arc_weight,
                         std::span<const Weight> movement_weight)
    : arc_weight_(arc_weight.begin(), arc_weight.end()) {
  const std::size_t arcs = network.arc_count();
  if (arc_weight.size() != arcs || movement_weight.size() != network.movements.size())
    throw std::logic_error("search graph: one weight for each arc and each movement of the network is needed");
  head_.reserve(arcs);
  std::vector<double> chord_m;
  chord_m.reserve(arcs);
  for (std::uint32_t a = 0; a < arcs; ++a) {
    head_.push_back(network.node(network.head(network::ArcId{a})).xy);
    chord_m.push_back(distance_m(network.node(network.tail(network::ArcId{a})).xy, head_.back()));
  }
  first_.reserve(arcs + 1);
  first_.push_back(0);
  steps_.reserve(network.movements.size());
  for (std::uint32_t a = 0; a < arcs; ++a) {
    for (std::uint32_t m = network.first_movement[a]; m < network.first_movement[a + 1]; ++m) {
      const std::uint32_t to = index(network.movements[m].to);
      if (arc_weight[a] == kShut || arc_weight[to] == kShut || movement_weight[m] == kShut) continue;
      const PathWeight sum = PathWeight{arc_weight[to]} + movement_weight[m];
      if (sum < 0 || sum >= kShut)
        throw std::logic_error("search graph: movement " + std::to_string(m) + " into arc " + std::to_string(to) +
                               " weighs " + std::to_string(sum) + ", outside 0 to 2147483646");
      steps_.push_back({to, static_cast<Weight>(sum)});
    }
    first_.push_back(static_cast<std::uint32_t>(steps_.size()));
  }
  choose_bound(chord_m);
  choose_bucket_width();
}

void SearchGraph::choose_bound(const std::vector<double>& chord_m) {
  // Cheapest way into each arc; the planar way of a step is the chord of the arc entered.
  std::vector<Weight> least(arc_count(), kShut);
  for (const Step& s : steps_) least[s.to] = std::min(least[s.to], s.weight);
  std::vector<double> rates;
  LocalXY low, high;
  for (std::uint32_t a = 0; a < arc_count(); ++a) {
    if (least[a] == kShut || !(chord_m[a] > 0.0)) continue;
    if (rates.empty()) low = high = head_[a];
    low = {std::min(low.x_m, head_[a].x_m), std::min(low.y_m, head_[a].y_m)};
    high = {std::max(high.x_m, head_[a].x_m), std::max(high.y_m, head_[a].y_m)};
    rates.push_back(least[a] / chord_m[a]);
  }
  if (rates.empty()) return;
  const double half_field_m = 0.5 * distance_m(low, high);
  double gain = -1.0;
  for (const double share : kShortShares) {
    const auto nth = rates.begin() + static_cast<std::ptrdiff_t>(share * static_cast<double>(rates.size() - 1));
    std::nth_element(rates.begin(), nth, rates.end());
    Bound tried{*nth * (1.0 - kRounding), 0.0};
    for (std::uint32_t a = 0; a < arc_count(); ++a)
      if (least[a] != kShut) tried.slack += std::max(0.0, tried.rate * chord_m[a] - least[a]);
    tried.slack *= 1.0 + kRounding;
    if (const double now = tried.rate * half_field_m - tried.slack; now > gain) {
      gain = now;
      bound_ = tried;
    }
  }
}

void SearchGraph::choose_bucket_width() {
  std::vector<Weight> weights;
  weights.reserve(steps_.size());
  for (const Step& s : steps_)
    if (s.weight > 0) weights.push_back(s.weight);
  if (weights.empty()) return;
  const auto middle = weights.begin() + static_cast<std::ptrdiff_t>(weights.size() / 2);
  std::nth_element(weights.begin(), middle, weights.end());
  bucket_bits_ = std::max(0, static_cast<int>(std::bit_width(static_cast<std::uint32_t>(*middle))) - 3);
}

}  // namespace solotaxi::routing
