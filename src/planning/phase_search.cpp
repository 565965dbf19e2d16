#include "solotaxi/planning/phase_search.hpp"

#include <algorithm>
#include <stdexcept>
#include <string>
#include <type_traits>
#include <utility>

#include "planning/phase_plan.hpp"
#include "planning/phase_sides.hpp"

namespace solotaxi::planning {
namespace {

void check(const PhaseGraph& graph, const std::vector<PhaseTerminal>& terminals) {
  for (const PhaseTerminal& t : terminals) {
    if (t.state >= graph.state_count()) throw std::logic_error("phase search: a terminal's state is not in the graph");
    for (std::size_t p = 0; p < 3; ++p)
      if (!(t.cost_kg[p] >= 0.0) || (t.cost_kg[p] < kBarred && !(t.time_s[p] >= 0.0 && t.time_s[p] < kBarred)))
        throw std::logic_error("phase search: a terminal has a negative cost or no time");
      else if (t.cost_kg[p] > kMostCost && t.cost_kg[p] < kBarred)
        throw std::logic_error("phase search: a terminal costs more than 1e9 kg");
  }
}

/// Seconds and kilograms a second of any use lie far below it.
constexpr double kMostNumber = 1e6;

void check_number(double value, const char* what) {
  if (!(value >= 0.0 && value <= kMostNumber))
    throw std::logic_error(std::string("phase search: ") + what + " is not a number from 0 to 1e6");
}

void check(const PhaseGraph& graph, const DepartureProblem& p) {
  check(graph, p.stands);
  check(graph, p.runway);
  for (std::size_t i = 0; i < 3; ++i) {
    check_number(p.flow_kg_s[i], "a standing flow");
    check_number(p.move_kg_s[i], "the flow of moving up");
  }
  check_number(p.push_back_s, "push_back_s");
  check_number(p.start_s, "start_s");
  check_number(p.warm_up_s, "warm_up_s");
  check_number(p.queue_s, "queue_s");
  const StandingCosts c(p);
  constexpr double kBelow = 1.0 - 1e-9;
  if (c.start() < kBelow * c.all() || c.queue_start() < kBelow * c.queue_all())
    throw std::logic_error("phase search: START standing must not be cheaper than ALL");
}

void check(const PhaseGraph& graph, const ArrivalProblem& p) {
  check(graph, p.stands);
  check(graph, p.runway);
  check_number(p.cool_down_left_s, "cool_down_left_s");
  check_number(p.apu_lead_kg, "apu_lead_kg");
}

std::size_t stand_count(const std::vector<PhaseTerminal>& stands) {
  std::size_t count = 0;
  for (const PhaseTerminal& t : stands) count = std::max<std::size_t>(count, t.stand + std::size_t{1});
  return count;
}

}  // namespace

struct PhaseSearch::Parts {
  explicit Parts(const PhaseGraph& g) : graph(g) {}

  const PhaseGraph& graph;
  PhaseLabels labels;
  PhaseBound bound;
  TerminalsAt stands_at;
  std::vector<std::array<Found, 2>> found;  ///< by stand and Kind
  std::vector<std::uint32_t> seen;          ///< by arc, the number of the way that used it last
  std::uint32_t ways = 0;
  std::size_t most = 50'000'000, made = 0, repeats = 0;

  template <class Problem>
  using SideOf = std::conditional_t<std::is_same_v<Problem, DepartureProblem>, DepartureSide, ArrivalSide>;

  template <class Problem>
  PhaseAnswer find(const Problem& problem) {
    PhaseAnswer answer;
    answer.with_one = find(problem, Kind::with_one);
    answer.reference = find(problem, Kind::reference);
    return answer;
  }

  template <class Problem>
  std::vector<PhaseAnswer> find_all(const Problem& problem) {
    std::vector<PhaseAnswer> answers(stand_count(problem.stands));
    run(problem, {}, {}, nullptr, answers.size());
    std::vector<std::pair<std::size_t, Kind>> repeating;
    for (std::size_t s = 0; s < answers.size(); ++s) {
      for (const Kind kind : kKinds) {
        const Found& best = found[s][static_cast<std::size_t>(kind)];
        if (best.label == kNone) continue;
        PhaseWay way = trace(problem, best);
        if (first_repeated(way) != kNone) {
          repeating.emplace_back(s, kind);
          continue;
        }
        (kind == Kind::with_one ? answers[s].with_one : answers[s].reference) = complete(graph, problem, std::move(way));
      }
    }
    for (const auto& [s, kind] : repeating) {
      Problem alone = problem;
      std::vector<std::size_t> numbers;
      alone.stands.clear();
      for (std::size_t i = 0; i < problem.stands.size(); ++i) {
        if (problem.stands[i].stand != s) continue;
        alone.stands.push_back(problem.stands[i]);
        numbers.push_back(i);
      }
      auto plan = find(alone, kind);
      if (plan) {
        std::size_t& at = std::is_same_v<Problem, DepartureProblem> ? plan->from : plan->to;
        at = numbers[at];
      }
      (kind == Kind::with_one ? answers[s].with_one : answers[s].reference) = std::move(plan);
    }
    return answers;
  }

 private:
  /// One kind of plan over all terminals; arcs its way repeats are barred from being used again, until there are none.
  template <class Problem>
  std::optional<PhasePlan> find(const Problem& problem, Kind kind) {
    if (problem.stands.empty() || problem.runway.empty() || !prepare_bound(problem, kind)) return std::nullopt;
    const Wanted wanted{kind == Kind::with_one, kind == Kind::reference};
    std::vector<std::uint32_t> critical;
    for (;; ++repeats) {
      run(problem, wanted, critical, &bound, 1);
      const Found& best = found[0][static_cast<std::size_t>(kind)];
      if (best.label == kNone) return std::nullopt;
      PhaseWay way = trace(problem, best);
      const std::uint32_t arc = first_repeated(way);
      if (arc == kNone) return complete(graph, problem, std::move(way));
      critical.push_back(arc);
    }
  }

  /// Labels outward from the runway. With a bound all stands count as one, and it stops when the one kind wanted is found.
  template <class Problem>
  void run(const Problem& problem, Wanted wanted, std::span<const std::uint32_t> critical, const PhaseBound* guide,
           std::size_t stands) {
    using Side = SideOf<Problem>;
    stands_at.set(graph.state_count(), problem.stands);
    found.assign(stands, {});
    PhaseLabels::Setting setting{guide, critical, Side::kRelieved, 0.0, most};
    if constexpr (std::is_same_v<Problem, DepartureProblem>) setting.relief_rate = problem.flow_kg_s[index(Phase::all)];
    labels.begin(graph, setting);
    Side side(graph, problem, wanted, labels);
    side.begin();
    for (std::uint32_t id = labels.settle(); id != kNone; id = labels.settle()) {
      const Label& label = labels[id];
      for (std::uint32_t t = stands_at.first(label.state()); t != kNone; t = stands_at.next(t)) {
        const double total = side.total(label, problem.stands[t]);
        Found& best = found[guide ? 0 : problem.stands[t].stand][static_cast<std::size_t>(Side::kind(label))];
        if (!(total < best.cost)) continue;
        best = {total, id, t};
        if (guide) labels.lower_ceiling(total);
      }
      side.carry_on(id);
    }
    made += labels.size();
  }

  bool prepare_bound(const DepartureProblem& problem, Kind kind) {
    const StandingCosts costs(problem);
    const bool one = kind == Kind::with_one;
    sources.clear();
    for (const PhaseTerminal& t : problem.stands) {
      double least = kBarred;
      if (one) {
        least = costs.push_back(Phase::one) + t.cost_kg[index(Phase::one)];
      } else {
        for (const Phase p : {Phase::start, Phase::all}) least = std::min(least, costs.push_back(p) + t.cost_kg[index(p)]);
      }
      if (least < kBarred) sources.push_back({t.state, least});
    }
    targets.clear();
    for (const PhaseTerminal& t : problem.runway) targets.push_back(t.state);
    return bound.run(graph, one ? PhaseGraph::Bound::departure_with_one : PhaseGraph::Bound::departure_reference, sources,
                     targets);
  }

  bool prepare_bound(const ArrivalProblem& problem, Kind kind) {
    const bool one = kind == Kind::with_one;
    sources.clear();
    for (const PhaseTerminal& t : problem.stands) {
      const double stop = t.cost_kg[index(one ? Phase::one : Phase::all)] + (one ? problem.apu_lead_kg : 0.0);
      if (stop < kBarred) sources.push_back({t.state, stop});
    }
    targets.clear();
    for (const PhaseTerminal& t : problem.runway) targets.push_back(t.state);
    return bound.run(graph, one ? PhaseGraph::Bound::arrival_with_one : PhaseGraph::Bound::arrival_reference, sources,
                     targets);
  }

  PhaseWay trace(const DepartureProblem&, const Found& best) const {
    PhaseWay way;
    way.from = best.terminal;
    bool behind = false;
    for (std::uint32_t id = best.label; id != kNone; id = labels[id].parent) {
      const Label& l = labels[id];
      if (l.layer() == DepartureSide::kAfter && !behind) {
        behind = true;
        way.queue_leg = way.legs.size() - 1;
      }
      way.legs.push_back({l.state(), DepartureSide::phase(l.layer())});
      if (l.parent == kNone)
        way.to = l.step;
      else
        way.steps.push_back(l.step);
    }
    if (!behind) way.queue_leg = way.legs.size() - 1;
    return way;
  }

  PhaseWay trace(const ArrivalProblem&, const Found& best) const {
    PhaseWay way;
    way.to = best.terminal;
    for (std::uint32_t id = best.label; id != kNone; id = labels[id].parent) {
      const Label& l = labels[id];
      way.legs.push_back({l.state(), ArrivalSide::phase(l.layer())});
      if (l.parent == kNone)
        way.from = l.step;
      else
        way.steps.push_back(l.step);
    }
    std::reverse(way.legs.begin(), way.legs.end());
    std::reverse(way.steps.begin(), way.steps.end());
    return way;
  }

  std::uint32_t first_repeated(const PhaseWay& way) {
    if (++ways == 0 || seen.size() != graph.arc_limit()) {
      seen.assign(graph.arc_limit(), 0);
      ways = 1;
    }
    for (const PhaseLeg& leg : way.legs) {
      std::uint32_t& arc = seen[graph.arc_of(leg.state)];
      if (arc == ways) return graph.arc_of(leg.state);
      arc = ways;
    }
    return kNone;
  }

  std::vector<PhaseBound::Source> sources;
  std::vector<std::uint32_t> targets;
};

PhaseSearch::PhaseSearch(const PhaseGraph& graph) : parts_(std::make_unique<Parts>(graph)) {}
PhaseSearch::PhaseSearch(PhaseSearch&&) noexcept = default;
PhaseSearch::~PhaseSearch() = default;

namespace {

template <class Parts, class Problem>
void begin(Parts& parts, const Problem& problem) {
  check(parts.graph, problem);
  parts.made = parts.repeats = 0;
}

}  // namespace

PhaseAnswer PhaseSearch::find(const DepartureProblem& problem) {
  begin(*parts_, problem);
  return parts_->find(problem);
}

PhaseAnswer PhaseSearch::find(const ArrivalProblem& problem) {
  begin(*parts_, problem);
  return parts_->find(problem);
}

std::vector<PhaseAnswer> PhaseSearch::find_all(const DepartureProblem& problem) {
  begin(*parts_, problem);
  return parts_->find_all(problem);
}

std::vector<PhaseAnswer> PhaseSearch::find_all(const ArrivalProblem& problem) {
  begin(*parts_, problem);
  return parts_->find_all(problem);
}

std::size_t PhaseSearch::labels() const { return parts_->made; }
std::size_t PhaseSearch::repeats() const { return parts_->repeats; }
void PhaseSearch::set_label_limit(std::size_t most) { parts_->most = most; }

}  // namespace solotaxi::planning
