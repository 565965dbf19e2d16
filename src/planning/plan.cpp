#include "solotaxi/planning/plan.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>
#include <utility>

#include "planning/assigned.hpp"
#include "planning/sensitivity.hpp"
#include "planning/time_units.hpp"
#include "routing/relax.hpp"
#include "solotaxi/base/error.hpp"

namespace solotaxi::planning {
namespace {

constexpr double kLongestQueue_s = 3600.0;
constexpr double kQueueStep_s = 5.0;  // the queue from which it pays is found to so many seconds
constexpr double kMassStep_kg = 250.0;
constexpr double kUnusedShare = 0.5;  // of a runway before an entry worth telling of; assumed
constexpr double kOverlap = 0.7;      // really different ways share less
constexpr double kQueues[] = {0.0, 300.0, 600.0};

void check(const PlanRequest& r) {
  const auto within = [](double value, double least, double most, const char* what, const char* unit) {
    if (!(value >= least && value <= most))
      throw usage_error(fmt::format("{} of {} {} is out of range", what, value, unit),
                        fmt::format("{} to {} {}", least, most, unit));
  };
  within(r.queue_s / kMinute, 0, 120, "a queue", "min");
  within(r.queue_moves_per_min, 0, 10, "a number of queue moves", "a minute");
  within(r.since_landing_s, 0, 3600, "a time since landing", "s");
  within(r.apu_lead_s, 0, 600, "an APU lead", "s");
  within(static_cast<double>(r.alternatives), 0, 10, "a number of alternatives", "ways");
  if (r.brake_start_c) within(*r.brake_start_c, -60, 900, "a brake temperature", "°C");
}

/// From or to a runway the direction is plain.
void settle_direction(routing::RouteRequest& route) {
  using Kind = routing::Place::Kind;
  if (route.direction) return;
  if (route.to.kind == Kind::runway && route.from.kind != Kind::runway) route.direction = routing::Direction::departure;
  if (route.from.kind == Kind::runway && route.to.kind != Kind::runway) route.direction = routing::Direction::arrival;
}

std::optional<double> pays_from(Solver& solver) {
  const auto saves = [&](double queue_s) { return saving_of(solver.solve(queue_s)) > 0.0; };
  if (saves(0.0)) return 0.0;
  if (!saves(kLongestQueue_s)) return std::nullopt;
  double no = 0.0, yes = kLongestQueue_s;
  while (yes - no > kQueueStep_s) {
    const double half = 0.5 * (no + yes);
    (saves(half) ? yes : no) = half;
  }
  return std::ceil(yes);  // whole seconds are told
}

/// The greatest mass at which a plan with ONE is left, where the asked one is too great.
std::optional<double> light_enough_kg(const Variation& vary, const aircraft::Aircraft& aircraft, double mass_kg) {
  const auto goes = [&](double kg) { return vary.solution([&](auto&, auto& c) { c.mass_kg = kg; }).one.has_value(); };
  if (!goes(aircraft.mass_min_kg)) return std::nullopt;
  double yes = aircraft.mass_min_kg, no = mass_kg;
  while (no - yes > kMassStep_kg) {
    const double half = 0.5 * (no + yes);
    (goes(half) ? yes : no) = half;
  }
  return yes;
}

/// What another engine, or another entry to the runway, would save: the most of each.
void add_other_ways(std::vector<std::string>& why, const network::Network& net, const aircraft::Aircraft& aircraft,
                    const motion::Conditions& conditions, const PlanRequest& request, const routing::Way* only) {
  const auto saving = [&](const PlanRequest& other) -> std::optional<Solution> {
    Solver solver(net, aircraft, conditions, other, only);
    if (!solver.possible()) return std::nullopt;
    Solution s = solver.solve(request.queue_s);
    if (saving_of(s) > 0.0) return s;
    return std::nullopt;
  };
  if (!request.sets.empty()) {
    PlanRequest other = request;
    other.sets.clear();
    if (const auto s = saving(other))
      why.push_back(fmt::format("running {} instead would save {:.1f} kg", s->one->running_set, saving_of(*s)));
  }
  const routing::ResolvedPlace to = routing::resolve(net, request.route.to);
  if (only || request.route.direction != routing::Direction::departure || to.runway < 0 || to.entry) return;
  std::set<std::string> tried;
  double most_kg = 0.0, left_m = 0.0;
  std::string best;
  const network::Runway& runway = net.runways[static_cast<std::size_t>(to.runway)];
  for (const auto& entry : runway.entries)
    for (const std::string& name : entry.names) {
      const double unused_m = routing::from_end_m(runway, entry, to.end);
      if (unused_m > kUnusedShare * runway.length_m || !tried.insert(name).second) continue;
      PlanRequest other = request;
      other.route.to = routing::parse_place("runway:" + request.route.to.name + "@" + name);
      try {
        const auto s = saving(other);
        if (!s || saving_of(*s) <= most_kg) continue;
        most_kg = saving_of(*s);
        best = name;
        left_m = runway.length_m - unused_m;
      } catch (const Error&) {
        // A name that several entries share is none to advise.
      }
    }
  if (!best.empty())
    why.push_back(fmt::format("entering the runway at {} one engine would save {:.1f} kg, where {:.0f} m of it are enough",
                              best, most_kg, left_m));
}

void explain(Plan& plan, const Solver& solver, const Variation& vary, const aircraft::Aircraft& aircraft,
             const motion::Conditions& conditions, const PlanRequest& request) {
  auto& why = plan.why_not;
  if (conditions.surface == motion::Surface::contaminated)
    why.push_back("the surface is contaminated: one engine is not used; wait for it to be treated");
  if (!plan.shown.one) {
    Obstacles obstacles = solver.obstacles(plan.reference);
    for (std::string& line : obstacles.lines) why.push_back(std::move(line));
    if (obstacles.unknown_grade)
      why.push_back(
          "the grade is unknown and judged on the safe side: give heights with --dem or --survey, or the steepest "
          "grade you know of with --unknown-grade");
    if (const auto kg = light_enough_kg(vary, aircraft, conditions.mass_kg))
      why.push_back(fmt::format("it would be possible from {:.1f} t lighter, at {:.1f} t",
                                (conditions.mass_kg - *kg) / 1000.0, *kg / 1000.0));
    if (why.empty())
      why.push_back(plan.direction == routing::Direction::arrival
                        ? "the way ends before the engines have cooled down, so that none can be shut down on it"
                        : "the way is too short for a start and a warm-up behind a part on one engine");
    return;
  }
  if (plan.saving_kg <= 0.0) {
    why.push_back(
        fmt::format("one engine burns {:.1f} kg more here and takes {:.0f} s more: the APU, the start and the "
                    "warm-up cost more than the engine left off saves",
                    -plan.saving_kg, plan.extra_s));
    if (plan.pays_from_queue_s)
      why.push_back(fmt::format("it begins to pay from a queue of {:.0f} min {:02.0f} s",
                                std::floor(*plan.pays_from_queue_s / kMinute),
                                std::fmod(*plan.pays_from_queue_s, kMinute)));
  }
  for (const Rule& r : request.rules)
    if (r.kind == Rule::Kind::min_one_engine_s && plan.shown.one_s < r.seconds)
      why.push_back(fmt::format("only {:.0f} s would be taxied on one engine, and the rule \"{}\" asks for more",
                                plan.shown.one_s, r.text));
}

Alternative alternative_of(const DrivenPlan& plan, const DrivenPlan& shown, const network::Network& net) {
  Alternative out;
  for (const routing::Leg& leg : plan.route.legs) out.geometry.push_back(leg.geometry);
  out.by = routing::designators(plan.route);
  out.length_m = plan.route.length_m;
  out.time_s = plan.route.time_s;
  out.fuel_kg = plan.route.fuel_kg;
  out.one = plan.one;
  out.running_set = plan.running_set;
  double whole_m = 0.0, shared_m = 0.0;
  for (const auto a : plan.route.arcs) {
    const double m = net.segment(a).length_m;
    whole_m += m;
    if (std::find(shown.route.arcs.begin(), shown.route.arcs.end(), a) != shown.route.arcs.end()) shared_m += m;
  }
  out.overlap = whole_m > 0.0 ? shared_m / whole_m : 0.0;
  return out;
}

}  // namespace

double apu_fuel_kg(const DrivenPlan& plan, routing::Direction direction, const aircraft::Aircraft& aircraft,
                   const motion::Conditions& conditions, double apu_lead_s) {
  if (!conditions.apu_on) return 0.0;
  double fuel_kg = 0.0;
  for (const PlanPhase& phase : plan.phases) {
    if (phase.phase == Phase::one) fuel_kg += aircraft.apu_run_kg_h / kHour * phase.time_s;
    if (phase.phase == Phase::start) fuel_kg += aircraft.apu_start_kg_h / kHour * phase.time_s;
  }
  if (direction == routing::Direction::arrival && plan.one) fuel_kg += aircraft.apu_no_load_kg_h / kHour * apu_lead_s;
  return fuel_kg;
}

std::variant<Plan, routing::NoRoute> make_plan(const network::Network& network, const aircraft::Aircraft& aircraft,
                                               const motion::Conditions& conditions, const PlanRequest& asked) {
  motion::check_ranges(conditions, aircraft);
  check(asked);
  PlanRequest request = asked;
  request.route.objective = routing::Objective::fuel;
  settle_direction(request.route);
  const routing::Prepared prepared = routing::cut_at_positions(network, request.route);
  const network::Network& cut = prepared.own ? *prepared.own : network;
  const routing::PartedNetwork parted = routing::network_in_parts(cut, kPart_m);
  const network::Network& net = parted.network;
  std::vector<std::uint32_t> original;  // by segment of the divided network: that of the one asked about
  for (const auto s : parted.original) original.push_back(prepared.own ? prepared.original[index(s)] : index(s));
  std::optional<routing::Way> assigned;
  if (request.assigned) assigned = assigned_on(net, original, *request.assigned, request.route);
  const routing::Way* only = assigned ? &*assigned : nullptr;
  Solver solver(net, aircraft, conditions, request, only);
  if (!solver.possible()) {
    auto none = routing::find_route(network, aircraft, aircraft::all_engines(aircraft), conditions, request.route);
    if (auto* reason = std::get_if<routing::NoRoute>(&none)) return std::move(*reason);
    return routing::NoRoute{"no way is left for every engine", {}, ""};
  }
  solver.look_around(request.queue_s);
  Solution found = solver.solve(request.queue_s);
  if (!found.reference)
    return routing::NoRoute{only
                                ? "the way assigned has a place that cannot be driven, or where not even every engine gets "
                                  "the aircraft on"
                                : "every way has a place where not even every engine gets the aircraft on",
                            {},
                            "lighter, or another way"};

  Plan plan;
  const bool arrival = solver.question().direction == routing::Direction::arrival;
  plan.direction = solver.question().direction;
  plan.reference = *found.reference;
  plan.shown = found.one ? *found.one : *found.reference;
  plan.saving_kg = saving_of(found);
  plan.extra_s = plan.shown.route.time_s - plan.reference.route.time_s;
  plan.search.fuel_kg = plan.shown.search_kg;
  plan.search.reference_kg = found.reference_kg;
  plan.search.minimum_kg = found.minimum_kg.value_or(found.reference_kg);
  plan.search.saving_kg = found.reference_kg - plan.search.minimum_kg;
  plan.findings = std::move(found.findings);
  plan.shown.probability = solver.probability(plan.shown, request.seed);
  for (const DrivenPlan& other : solver.others(plan.shown, request.alternatives, kOverlap, request.queue_s))
    plan.alternatives.push_back(alternative_of(other, plan.shown, net));
  if (found.one && !arrival) {
    std::vector<double> queues(std::begin(kQueues), std::end(kQueues));
    if (std::find(queues.begin(), queues.end(), request.queue_s) == queues.end()) queues.push_back(request.queue_s);
    std::sort(queues.begin(), queues.end());
    for (const double q : queues)
      plan.savings.push_back({q, q == request.queue_s ? plan.saving_kg : saving_of(solver.solve(q))});
    plan.pays_from_queue_s = pays_from(solver);
  }
  const Variation vary(net, aircraft, conditions, request, only);
  if (found.one) plan.sensitivity = sensitivity_of(vary, plan.shown, aircraft, conditions, arrival);
  explain(plan, solver, vary, aircraft, conditions, request);
  if (!plan.why_not.empty() && plan.saving_kg <= 0.0 && conditions.surface != motion::Surface::contaminated)
    add_other_ways(plan.why_not, net, aircraft, conditions, request, only);
  plan.advised = found.one && plan.saving_kg > 0.0 && plan.why_not.empty() ? "one-engine" : "reference";
  if (plan.shown.one) {
    const auto set = aircraft::parse_running_set(aircraft, plan.shown.running_set);
    for (const auto& [engine, note] : aircraft.notes)
      if (!set.has(std::stoi(engine))) plan.questions.emplace_back(engine, note);
  }
  for (DrivenPlan* driven : {&plan.shown, &plan.reference}) {
    // Whole arcs of the network asked about, and where they begin.
    auto& from_m = driven->sim.arc_from_m;
    std::vector<network::ArcId> whole;
    for (std::size_t i = 0; i < driven->route.arcs.size(); ++i) {
      const network::ArcId a = routing::original_arcs({driven->route.arcs[i]}, original).front();
      if (!whole.empty() && whole.back() == a) continue;
      from_m[whole.size()] = from_m[i];
      whole.push_back(a);
    }
    from_m.resize(whole.size());
    driven->route.arcs = std::move(whole);
    routing::forget_new_nodes(driven->route.findings, network, net);
  }
  return plan;
}

}  // namespace solotaxi::planning
