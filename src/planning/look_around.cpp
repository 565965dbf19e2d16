// Ways beside the cheapest by search cost that may burn less when driven.
#include <algorithm>
#include <set>
#include <utility>

#include "planning/solver.hpp"

namespace solotaxi::planning {

using network::ArcId;

namespace {

constexpr double kAvoided = 20.0;       // what a piece to do without costs then
constexpr double kWorthDriving = 1.15;  // search cost is right to some 10 %
constexpr std::size_t kAround = 2;      // ways found by look_around that every solve drives, with ONE and without

}  // namespace

/// Ways that leave out one piece each of a cheapest way, where it forks.
std::vector<routing::Way> Solver::deviations(const Set& set, const PlannedWays& exact, double queue_s) const {
  std::vector<routing::Way> out;
  std::set<ArcId> avoided;
  for (const auto* plan : {&exact.with_one, &exact.reference}) {
    if (!*plan) continue;
    const auto& arcs = (*plan)->way.arcs;
    for (std::size_t i = 1; i < arcs.size(); ++i) {
      const auto moves = net_->movements_from(arcs[i - 1]);
      const auto onward = std::count_if(moves.begin(), moves.end(), [](const auto& m) { return !m.turn_round; });
      if (onward < 2 || !avoided.insert(arcs[i]).second) continue;
      std::vector<double> factor(net_->arc_count(), 1.0);
      factor[index(arcs[i])] = kAvoided;
      auto way = set.field->way_if_dearer(factor, queue_s);
      const auto same = [&](const routing::Way& w) { return w.arcs == way->arcs; };
      if (way && std::none_of(out.begin(), out.end(), same)) out.push_back(std::move(*way));
    }
  }
  return out;
}

void Solver::look_around(Set& set, double queue_s) const {
  const PlannedWays exact = set.field->plan(queue_s);
  struct Driven {
    double fuel_kg = 0.0;
    routing::Way way;
  };
  std::vector<Driven> best[2];  // with ONE, without
  for (routing::Way& way : deviations(set, exact, queue_s)) {
    const PlannedWays on = set.field->plan_on(way, queue_s);
    const std::pair<const std::optional<PlannedWay>*, const std::optional<PlannedWay>*> pairs[] = {
        {&on.with_one, &exact.with_one}, {&on.reference, &exact.reference}};
    for (std::size_t k = 0; k < 2; ++k) {
      const auto& [plan, least] = pairs[k];
      if (!*plan || !*least || (*plan)->charge_kg > (*least)->charge_kg + kSameCharge_kg) continue;
      if ((*plan)->cost_kg > (*least)->cost_kg * kWorthDriving) continue;
      const DrivenPlan driven = drive_plan(question_, *set.field, **plan, queue_s, *request_);
      if (!trouble(driven) && driven.one == (k == 0)) best[k].push_back({driven.route.fuel_kg, way});
    }
  }
  set.around.clear();
  for (auto& list : best) {
    std::stable_sort(list.begin(), list.end(), [](const Driven& a, const Driven& b) { return a.fuel_kg < b.fuel_kg; });
    if (list.size() > kAround) list.resize(kAround);
    for (Driven& d : list) set.around.push_back(std::move(d.way));
  }
}

void Solver::look_around(double queue_s) {
  if (only_) return;
  for (Set& set : sets_) look_around(set, queue_s);
}

}  // namespace solotaxi::planning
