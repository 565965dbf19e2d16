#include "solotaxi/planning/screen.hpp"

#include <fmt/format.h>
#include <tbb/parallel_for.h>

#include <algorithm>
#include <map>

#include "planning/screen_field.hpp"
#include "planning/screen_routes.hpp"
#include "planning/screen_stretches.hpp"
#include "solotaxi/base/error.hpp"

namespace solotaxi::planning {

using routing::Direction;

namespace {

constexpr double kMostMovements = 1e7;
constexpr std::size_t kMostMended = 50;

void check(const network::Network& network, const ScreenRequest& request) {
  if (network.stands.empty())
    throw data_error("the field has no stands, so there is nothing to screen", {},
                     "map parking positions, or gates, and lines that lead to them");
  if (network.runways.empty())
    throw data_error("the field has no runways, so there is nothing to screen", {}, "map its runways");
  if (!(request.movements_a_year >= 1.0 && request.movements_a_year <= kMostMovements))
    throw usage_error(fmt::format("{} movements a year are out of range", request.movements_a_year), "1 to 1e7");
  for (const Traffic& t : request.traffic)
    if (!(t.movements >= 0.0 && t.movements <= kMostMovements))
      throw usage_error(fmt::format("{} movements a year are out of range", t.movements), "0 to 1e7");
  if (!(request.trunk_kg_m >= 0.0 && request.trunk_kg_m <= 1e6))
    throw usage_error(fmt::format("{} kg a year for a metre of line are out of range", request.trunk_kg_m), "0 to 1e6");
  if (request.mend > kMostMended)
    throw usage_error(fmt::format("{} stretches to mend are out of range", request.mend), "0 to 50");
  for (const Rule& r : request.plan.rules)
    if (r.kind == Rule::Kind::min_one_engine_s)
      throw usage_error("the rule \"" + r.text + "\" is about what a plan advises, and a screen advises nothing",
                        "leave it out");
}

ScreenFigures figures_of(const PlannedWay& way, const network::Network& net) {
  ScreenFigures f{0.0, way.cost_kg, way.time_s};
  for (const auto a : way.way.beginning.pushed) f.length_m += net.segment(a).length_m;
  for (const auto a : way.way.arcs) f.length_m += net.segment(a).length_m;
  return f;
}

/// Movements by pair: the traffic's, or all alike. Traffic without a way is told.
void spread_movements(Screen& out, const network::Network& network, const ScreenRequest& request) {
  if (request.traffic.empty()) {
    const auto with_way = std::count_if(out.pairs.begin(), out.pairs.end(), [](const auto& p) { return p.reference; });
    for (ScreenPair& p : out.pairs)
      if (p.reference) p.movements = request.movements_a_year / static_cast<double>(with_way);
    return;
  }
  std::map<ScreenMove, double> movements;
  for (const Traffic& t : request.traffic) movements[t.move] += t.movements;
  double lost = 0.0;
  for (ScreenPair& p : out.pairs) {
    const auto found = movements.find(p.move);
    if (found == movements.end()) continue;
    if (p.reference) {
      p.movements = found->second;
      continue;
    }
    lost += found->second;
    const auto& stand = network.stands[static_cast<std::size_t>(p.move.stand)];
    Finding f;
    f.code = "traffic-without-way";
    f.severity = Severity::caution;
    f.where.id = stand.id;
    f.text = fmt::format(
        "{:.0f} movements a year {} stand {} {} runway {} have no way and are left out", found->second,
        p.move.direction == Direction::departure ? "from" : "to", stand.ref,
        p.move.direction == Direction::departure ? "to" : "from",
        network.runways[static_cast<std::size_t>(p.move.runway)].designators[static_cast<std::size_t>(p.move.end)]);
    out.findings.push_back(std::move(f));
  }
}

ScreenShare share_of(const std::vector<ScreenPair>& pairs, Direction direction, std::size_t stands) {
  ScreenShare out;
  std::vector<std::uint8_t> any(stands, 0), with_one(stands, 0);
  std::vector<double> savings;
  double sum = 0.0;
  for (const ScreenPair& p : pairs) {
    if (p.move.direction != direction || !p.reference) continue;
    ++out.pairs;
    any[static_cast<std::size_t>(p.move.stand)] = 1;
    if (!p.one) continue;
    ++out.pairs_with_one;
    with_one[static_cast<std::size_t>(p.move.stand)] = 1;
    savings.push_back(*p.saving_kg());
    sum += savings.back();
  }
  out.stands = static_cast<std::size_t>(std::count(any.begin(), any.end(), 1));
  out.stands_with_one = static_cast<std::size_t>(std::count(with_one.begin(), with_one.end(), 1));
  if (savings.empty()) return out;
  std::sort(savings.begin(), savings.end());
  const std::size_t n = savings.size();
  out.mean_saving_kg = sum / static_cast<double>(n);
  out.median_saving_kg = n % 2 == 1 ? savings[n / 2] : 0.5 * (savings[n / 2 - 1] + savings[n / 2]);
  return out;
}

}  // namespace

std::optional<double> ScreenPair::saving_kg() const {
  if (!one || !reference) return std::nullopt;
  return reference->fuel_kg - one->fuel_kg;
}

Screen screen(const network::Network& network, const aircraft::Aircraft& aircraft, const motion::Conditions& conditions,
              const ScreenRequest& request) {
  motion::check_ranges(conditions, aircraft);
  check(network, request);
  const ScreenField field(network, aircraft, conditions, request);
  Screen out;
  std::map<ScreenMove, std::size_t> number;
  for (const Direction direction : {Direction::departure, Direction::arrival})
    for (std::size_t r = 0; r < network.runways.size(); ++r)
      for (const int end : {0, 1})
        for (std::size_t s = 0; s < network.stands.size(); ++s) {
          ScreenPair p;
          p.move = {static_cast<int>(s), static_cast<int>(r), end, direction};
          number[p.move] = out.pairs.size();
          out.pairs.push_back(std::move(p));
        }
  Stretches stretches(field, network, request);
  RouteDrawer routes(field, network, request);
  struct Solved {
    std::vector<ScreenAnswer> answers;
    std::vector<Stretches::Reference> references;
  };
  std::vector<Solved> solved(field.groups().size());
  tbb::parallel_for(std::size_t{0}, solved.size(), [&](std::size_t g) {
    std::vector<std::unique_ptr<PhaseField>> fields;
    solved[g].answers = field.solve(field.groups()[g], field.rules(), &fields);
    solved[g].references = stretches.look(field.groups()[g], solved[g].answers, fields);
  });
  for (std::size_t g = 0; g < solved.size(); ++g) {
    const ScreenField::Group& group = field.groups()[g];
    const std::vector<ScreenAnswer>& answers = solved[g].answers;
    std::vector<std::size_t> pairs;
    for (std::size_t i = 0; i < answers.size(); ++i) {
      ScreenMove move = group.end;
      move.stand = group.stands.stand[i];
      pairs.push_back(number.at(move));
      ScreenPair& p = out.pairs[pairs.back()];
      if (answers[i].reference) p.reference = figures_of(*answers[i].reference, field.parted());
      if (!answers[i].one) continue;
      p.one = figures_of(*answers[i].one, field.parted());
      p.running_set = aircraft::to_string(aircraft, field.sets()[answers[i].one_set]);
    }
    stretches.take(std::move(solved[g].references), pairs);
    if (request.standard_routes) routes.look(answers, pairs);
  }
  spread_movements(out, network, request);
  stretches.tell(out);
  if (request.standard_routes) routes.draw(out);
  out.departures = share_of(out.pairs, Direction::departure, network.stands.size());
  out.arrivals = share_of(out.pairs, Direction::arrival, network.stands.size());
  for (const ScreenPair& p : out.pairs) {
    if (!p.reference) continue;
    out.movements += p.movements;
    out.fuel_kg += p.movements * p.reference->fuel_kg;
    out.saving_kg += p.movements * std::max(0.0, p.saving_kg().value_or(0.0));
  }
  return out;
}

}  // namespace solotaxi::planning
