#include "planning/solver.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <utility>

#include "planning/phase_layout.hpp"
#include "planning/rules_on_field.hpp"
#include "routing/assemble.hpp"
#include "solotaxi/base/error.hpp"

namespace solotaxi::planning {

using motion::Verdict;
using network::ArcId;

namespace {

constexpr std::size_t kCandidates = 3;  // ways driven besides the cheapest, for each running set
constexpr double kDearer = 1.1;         // what arcs of ways already found cost then
constexpr double kDearerStill = 1.5;    // the same in the search for really different ways
constexpr double kSameTime_s = 0.1;
constexpr double kDearest = 8.0;
constexpr std::size_t kShown = 3;  // of the places where a set will not do
constexpr int kRepairs = 20;       // places barred because the simulation does not bear the search out

void add_factor(std::vector<double>& factor, const std::vector<ArcId>& arcs, double by) {
  for (const ArcId a : arcs) factor[index(a)] = std::min(kDearest, factor[index(a)] * by);
}

}  // namespace

Solver::Solver(const network::Network& parted, const aircraft::Aircraft& aircraft, const motion::Conditions& conditions,
               const PlanRequest& request, const routing::Way* only)
    : net_(&parted), aircraft_(&aircraft), request_(&request), only_(only), conditions_(with_rules(conditions, request)) {
  question_ = routing::make_question(parted, aircraft, conditions_, request.route);
  if (question_.direction == routing::Direction::taxi)
    throw usage_error("a plan is made for a departure or an arrival, and " + request.route.from.text + " to " +
                          request.route.to.text + " is neither",
                      "go to a runway or come from one, or say --direction departure or arrival");
  all_ =
      std::make_unique<motion::CostTable>(parted, question_.shape, aircraft, aircraft::all_engines(aircraft), conditions_);
  if (only_) {
    routing::Attempt attempt;
    attempt.table = all_.get();
    attempt.worst = Verdict::all;
    every_ = {*only_, routing::everything_open(question_, attempt)};
  }
  if (!every_) every_ = routing::on_every_engine(question_, *all_, true);
  if (!every_) every_ = routing::on_every_engine(question_, *all_, false);
  if (!every_) return;
  for (const auto set : sets_of(aircraft, request)) {
    Set s{set, std::make_unique<motion::CostTable>(parted, question_.shape, aircraft, set, conditions_),
          std::make_unique<Barred>(barred_by_rules(question_, request_->rules)), nullptr, {}};
    renew(s);
    sets_.push_back(std::move(s));
  }
  if (sets_.empty())
    throw usage_error("no running set is left to try", "see --engines, the rules may-run-alone and the aircraft's own");
}

void Solver::renew(Set& set) const {
  set.field = std::make_unique<PhaseField>(question_, every_->attempt, *set.one, *all_, *set.barred, *request_);
}

std::string Solver::engines_text(aircraft::RunningSet set) const {
  const std::string name = aircraft::to_string(*aircraft_, set);
  if (name == "left" || name == "right") return "the " + name + " engine";
  return (set.count() == 1 ? "engine " : "engines ") + name;
}

/// The arc at which the simulation of a plan stalls, or gets over only by the speed it brings: no plan relies on that.
std::optional<std::size_t> Solver::trouble(const DrivenPlan& plan) const {
  const auto in_all = [&](std::uint32_t phase) {
    return phase < plan.phases.size() && plan.phases[phase].phase == Phase::all;
  };
  if (plan.sim.stalled) return plan.sim.arc_index(plan.sim.stalled->at_m);
  for (const motion::Carried& c : plan.sim.carried)
    if (!in_all(c.phase)) return plan.sim.arc_index(0.5 * (c.from_m + c.to_m));
  return std::nullopt;
}

/// Whether the drive gives START, warm-up and cool-down their times.
bool Solver::keeps_times(const DrivenPlan& plan) const {
  const bool arrival = question_.direction == routing::Direction::arrival;
  const double cool_s = std::max(0.0, aircraft_->cool_down_s - request_->since_landing_s);
  if (!arrival && (plan.phases.empty() || plan.phases.back().phase != Phase::all)) return false;
  return std::all_of(plan.phases.begin(), plan.phases.end(), [&](const PlanPhase& p) {
    if (arrival) return p.phase != Phase::all || !plan.one || p.time_s >= cool_s - kSameTime_s;
    const double least_s = p.phase == Phase::start ? aircraft_->start_s
                           : p.phase == Phase::all ? aircraft_->warm_up_s
                                                   : 0.0;
    return p.time_s >= least_s - kSameTime_s;
  });
}

Finding Solver::barred_finding(const Set& set, ArcId a) const {
  const auto& here = net_->segment(a);
  const auto& node = net_->node(net_->tail(a));
  Finding f;
  f.code = "carried-by-speed";
  f.severity = Severity::note;
  f.where = {here.source_id, node.at.lat_deg(), node.at.lon_deg(), true};
  f.text = fmt::format(
      "on {} {} would get over only by the speed it brings, or not at all, where a turn lies on a steeper piece than its "
      "vertex; the plan has every engine running there",
      routing::line_text(here, *net_), engines_text(set.set));
  return f;
}

/// The cheapest plans first, then those on the cheapest few other ways.
std::vector<PlannedWay> Solver::candidates(const Set& set, const PlannedWays& exact, double queue_s) const {
  std::vector<PlannedWay> ways;
  const auto add = [&](const std::optional<PlannedWay>& way, const std::optional<PlannedWay>& cheapest) {
    // Ways that use more of what is to be used least are no candidates.
    if (!way || !cheapest || way->charge_kg > cheapest->charge_kg + kSameCharge_kg) return;
    const bool known = std::any_of(ways.begin(), ways.end(), [&](const PlannedWay& w) {
      return w.one() == way->one() && w.way.arcs == way->way.arcs;
    });
    if (!known) ways.push_back(*way);
  };
  add(exact.with_one, exact.with_one);
  add(exact.reference, exact.reference);
  if (only_) return ways;
  std::vector<double> factor(net_->arc_count(), 1.0);
  for (const PlannedWay& w : ways) add_factor(factor, w.way.arcs, kDearer);
  for (std::size_t c = 0; c < kCandidates; ++c) {
    const auto other = set.field->way_if_dearer(factor, queue_s);
    if (!other) break;
    const PlannedWays on = set.field->plan_on(*other, queue_s);
    add(on.with_one, exact.with_one);
    add(on.reference, exact.reference);
    add_factor(factor, other->arcs, kDearer);
  }
  for (const routing::Way& way : set.around) {
    const PlannedWays on = set.field->plan_on(way, queue_s);
    add(on.with_one, exact.with_one);
    add(on.reference, exact.reference);
  }
  return ways;
}

PlannedWays Solver::cheapest(const Set& set, double queue_s) const {
  return only_ ? set.field->plan_on(*only_, queue_s) : set.field->plan(queue_s);
}

Solution Solver::solve(Set& set, double queue_s) {
  Solution out;
  const Barred rules = barred_by_rules(question_, request_->rules);
  if (set.barred->arc != rules.arc) {
    *set.barred = rules;
    renew(set);
  }
  for (int repair = 0;; ++repair) {
    const PlannedWays exact = cheapest(set, queue_s);
    const std::size_t least = (exact.with_one ? 1U : 0U) + (exact.reference ? 1U : 0U);
    out.one.reset();
    out.reference.reset();
    std::optional<ArcId> bad;
    const auto ways = candidates(set, exact, queue_s);
    for (std::size_t i = 0; i < ways.size() && !bad; ++i) {
      DrivenPlan driven = drive_plan(question_, *set.field, ways[i], queue_s, *request_);
      if (const auto arc = trouble(driven)) {
        // A cheapest plan that is not borne out has its place barred, and all is asked again; a candidate is left out.
        const ArcId a = driven.route.arcs[*arc];
        if (i < least && repair < kRepairs && !set.barred->arc[index(a)]) bad = a;
        continue;
      }
      // Driven, nothing may be left for ONE: then the reference on this way is that plan.
      if (driven.one != ways[i].one() || !keeps_times(driven)) continue;
      auto& slot = driven.one ? out.one : out.reference;
      if (slot && driven.route.fuel_kg >= slot->route.fuel_kg) continue;
      (driven.one ? out.one_way : out.reference_way) = {ways[i], static_cast<std::size_t>(&set - sets_.data())};
      slot = std::move(driven);
    }
    if (bad) {
      set.barred->arc[index(*bad)] = 1;
      out.findings.push_back(barred_finding(set, *bad));
      renew(set);
      continue;
    }
    if (exact.with_one && out.one) out.minimum_kg = exact.with_one->cost_kg;
    if (exact.reference) out.reference_kg = exact.reference->cost_kg;
    return out;
  }
}

Solution Solver::solve(double queue_s) {
  Solution best;
  const auto take = [](std::optional<DrivenPlan>& slot, KeptWay& way, std::optional<DrivenPlan>& plan, KeptWay& plan_way) {
    if (!plan || (slot && plan->route.fuel_kg >= slot->route.fuel_kg)) return;
    slot = std::move(plan);
    way = std::move(plan_way);
  };
  for (Set& set : sets_) {
    Solution here = solve(set, queue_s);
    if (here.minimum_kg && (!best.minimum_kg || *here.minimum_kg < *best.minimum_kg)) best.minimum_kg = here.minimum_kg;
    if (here.reference && (!best.reference || here.reference_kg < best.reference_kg)) best.reference_kg = here.reference_kg;
    take(best.one, best.one_way, here.one, here.one_way);
    take(best.reference, best.reference_way, here.reference, here.reference_way);
    for (Finding& f : here.findings) {
      const auto same = [&](const Finding& o) { return o.text == f.text; };
      if (std::none_of(best.findings.begin(), best.findings.end(), same)) best.findings.push_back(std::move(f));
    }
  }
  return best;
}

const Solver::Set& Solver::set_of(const DrivenPlan& plan) const {
  for (const Set& s : sets_)
    if (aircraft::to_string(*aircraft_, s.set) == plan.running_set) return s;
  return sets_.front();
}

double Solver::probability(const DrivenPlan& plan, std::uint64_t seed) const {
  return plan.one ? probability_of(question_, *set_of(plan).field, plan, seed) : 1.0;
}

std::vector<DrivenPlan> Solver::others(const DrivenPlan& shown, std::size_t most, double overlap, double queue_s) {
  std::vector<DrivenPlan> out;
  if (only_) return out;
  std::vector<std::vector<ArcId>> taken{shown.route.arcs};
  const Set& set = set_of(shown);
  std::vector<double> factor(net_->arc_count(), 1.0);
  add_factor(factor, shown.route.arcs, kDearerStill);
  for (std::size_t round = 0; out.size() < most && round < 4 * most + 4; ++round) {
    const auto way = set.field->way_if_dearer(factor, queue_s);
    if (!way) break;
    add_factor(factor, way->arcs, kDearerStill);
    double whole_m = 0.0;
    for (const ArcId a : way->arcs) whole_m += net_->segment(a).length_m;
    const bool different = std::all_of(taken.begin(), taken.end(), [&](const std::vector<ArcId>& arcs) {
      double shared_m = 0.0;
      for (const ArcId a : way->arcs)
        if (std::find(arcs.begin(), arcs.end(), a) != arcs.end()) shared_m += net_->segment(a).length_m;
      return shared_m < overlap * whole_m;
    });
    if (!different) continue;
    const PlannedWays on = set.field->plan_on(*way, queue_s);
    for (const auto* plan : {&on.with_one, &on.reference}) {
      if (!*plan) continue;
      DrivenPlan driven = drive_plan(question_, *set.field, **plan, queue_s, *request_);
      if (trouble(driven)) continue;
      taken.push_back(way->arcs);
      out.push_back(std::move(driven));
      break;
    }
  }
  return out;
}

Verdict Solver::verdict_alone(const DrivenPlan& plan) const {
  const Set& set = set_of(plan);
  double from_m = 0.0, to_m = 0.0;  // of the part on few engines; it is in one piece
  for (const PlanPhase& p : plan.phases) {
    if (p.phase == Phase::all && p.from_m <= plan.driven_from_m) from_m = p.to_m - plan.driven_from_m;
    if (p.phase != Phase::all) to_m = p.to_m - plan.driven_from_m;
  }
  motion::PlaceVerdict worst;
  const auto& arcs = plan.route.arcs;
  for (std::size_t i = 0; i < arcs.size(); ++i) {
    const double begins_m = plan.sim.arc_from_m[i], ends_m = begins_m + net_->segment(arcs[i]).length_m;
    if (ends_m <= from_m + kTouch_m || begins_m >= to_m - kTouch_m) continue;
    worst = motion::worse(worst, set.one->arc_verdict(arcs[i]));
    if (i == 0 || begins_m <= from_m + kTouch_m) continue;
    if (const auto m = routing::movement_index(*net_, arcs[i - 1], arcs[i]))
      worst = motion::worse(worst, set.one->movement(*m).place);
  }
  return worst.verdict;
}

Obstacles Solver::obstacles(const DrivenPlan& plan) const {
  Obstacles out;
  for (const Set& set : sets_) {
    std::map<std::string, double> length_m;
    bool rule = false;
    for (std::size_t i = 0; i < plan.route.arcs.size(); ++i) {
      const ArcId a = plan.route.arcs[i];
      motion::PlaceVerdict place = set.one->arc_verdict(a);
      if (i > 0)
        if (const auto m = routing::movement_index(*net_, plan.route.arcs[i - 1], a))
          place = motion::worse(place, set.one->movement(*m).place);
      rule = rule || set.barred->arc[index(a)];
      if (place.verdict <= routing::worst_allowed(question_)) continue;
      out.unknown_grade = out.unknown_grade || place.reasons.has(motion::Reason::unknown_grade);
      std::string why;
      for (const std::string& reason : motion::words(place.reasons)) why += (why.empty() ? "" : ", ") + reason;
      length_m[routing::line_text(net_->segment(a), *net_) + " (" + why + ")"] += net_->segment(a).length_m;
    }
    std::vector<std::pair<double, std::string>> by_length;
    for (const auto& [where, m] : length_m) by_length.emplace_back(m, where);
    std::sort(by_length.rbegin(), by_length.rend());
    if (by_length.size() > kShown) by_length.resize(kShown);
    std::string text;
    for (const auto& [m, where] : by_length) text += (text.empty() ? "" : "; ") + where;
    const std::string name = engines_text(set.set);
    if (!text.empty()) out.lines.push_back(name + " alone will not do on " + text);
    if (rule) out.lines.push_back("a rule, or the simulation, wants every engine on part of the way of " + name);
  }
  return out;
}

}  // namespace solotaxi::planning
