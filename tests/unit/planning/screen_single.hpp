// The figures of one pair of a screen by a search of its own, for comparison.
#pragma once

#include <catch2/catch.hpp>
#include <optional>

#include "planning/rules_on_field.hpp"
#include "routing/relax.hpp"
#include "solotaxi/planning/screen.hpp"

namespace solotaxi::test {

struct Single {
  std::optional<double> reference_kg, one_kg;
};

/// The question as a plan asks it, one stand and one runway end.
inline Single single_search(const network::Network& net, const aircraft::Aircraft& aircraft,
                            const motion::Conditions& asked, planning::PlanRequest request,
                            const planning::ScreenMove& move) {
  using namespace planning;
  const auto& stand = net.stands[static_cast<std::size_t>(move.stand)];
  const auto& runway = net.runways[static_cast<std::size_t>(move.runway)];
  routing::Place at_stand;
  at_stand.kind = routing::Place::Kind::stand;
  at_stand.name = stand.ref;
  at_stand.id = stand.id;
  const routing::Place end = routing::parse_place("runway:" + runway.designators[static_cast<std::size_t>(move.end)]);
  const bool out = move.direction == routing::Direction::departure;
  request.route.from = out ? at_stand : end;
  request.route.to = out ? end : at_stand;
  request.route.objective = routing::Objective::fuel;
  const motion::Conditions conditions = with_rules(asked, request);
  const auto parted = routing::network_in_parts(net, 100.0);
  const auto q = routing::make_question(parted.network, aircraft, conditions, request.route);
  const motion::CostTable all(parted.network, q.shape, aircraft, aircraft::all_engines(aircraft), conditions);
  auto every = routing::on_every_engine(q, all, true);
  if (!every) every = routing::on_every_engine(q, all, false);
  Single best;
  if (!every) return best;
  const Barred barred = barred_by_rules(q, request.rules);
  for (const auto set : sets_of(aircraft, request)) {
    const motion::CostTable one(parted.network, q.shape, aircraft, set, conditions);
    const PhaseField field(q, every->attempt, one, all, barred, request);
    const PlannedWays ways = field.plan(request.queue_s);
    if (ways.reference && !(best.reference_kg < ways.reference->cost_kg && best.reference_kg))
      best.reference_kg = ways.reference->cost_kg;
    if (ways.with_one && !(best.one_kg < ways.with_one->cost_kg && best.one_kg)) best.one_kg = ways.with_one->cost_kg;
  }
  return best;
}

/// Checks every `each`-th pair; returns how many were compared.
inline std::size_t check_pairs(const planning::Screen& screen, const network::Network& net,
                               const aircraft::Aircraft& aircraft, const motion::Conditions& conditions,
                               const planning::ScreenRequest& request, std::size_t each = 1) {
  constexpr double kSums = 1e-9;  // the same sums, taken in another order
  std::size_t compared = 0;
  for (std::size_t i = 0; i < screen.pairs.size(); i += each) {
    const planning::ScreenPair& p = screen.pairs[i];
    const Single single = single_search(net, aircraft, conditions, request.plan, p.move);
    CAPTURE(i, p.move.stand, p.move.runway, p.move.end, p.move.direction == routing::Direction::departure);
    CHECK(p.reference.has_value() == single.reference_kg.has_value());
    CHECK(p.one.has_value() == single.one_kg.has_value());
    if (p.reference && single.reference_kg)
      CHECK(p.reference->fuel_kg == Approx(*single.reference_kg).epsilon(0.0).margin(kSums * *single.reference_kg));
    if (p.one && single.one_kg) CHECK(p.one->fuel_kg == Approx(*single.one_kg).epsilon(0.0).margin(kSums * *single.one_kg));
    ++compared;
  }
  return compared;
}

}  // namespace solotaxi::test
