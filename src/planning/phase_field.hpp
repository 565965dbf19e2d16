// A question about a field as the phase search sees it: which arcs each phase may drive, what they cost, where START may
// begin and the queue stands; and the plans found, told again as ways. Shared by the parts of make_plan; not public.
//
// A state is an arc in a layer: so many places between are behind. The first metres after the push back have states of
// their own while they must be such that the set could start from rest: there ONE and START are more restricted than later.
//
// What is to be used as little as possible (runways lengthwise, lines to avoid) is charged with so much fuel a metre that
// no saving makes up for it; the charge is taken out of what is told.
#pragma once

#include <memory>
#include <numbers>
#include <optional>
#include <vector>

#include "routing/relax.hpp"
#include "solotaxi/planning/phase_search.hpp"
#include "solotaxi/planning/plan.hpp"

namespace solotaxi::planning {

/// START does not begin at a movement over 60° [C].
inline constexpr double kSharpTurnRad = std::numbers::pi / 3.0;

/// Where rules want every engine.
struct Barred {
  std::vector<std::uint8_t> arc;  ///< by arc
  bool crossings = false;
  std::vector<std::uint8_t> relieved{};  ///< by arc, or empty: taken as passable to every set, whatever bars it
};

/// Flows of the phases for one running set.
struct PhaseFlows {
  ByPhase standing_kg_s{};           ///< START without an APU: the running engines give bleed air, standing
  ByPhase apu_kg_h{};                ///< beside the engines, as simulate takes it; the bleed air's fuel is in it
  ByPhase move_kg_s{};               ///< what moving up adds in the queue
  double start_over_one_kg_s = 0.0;  ///< driving in START beyond ONE
  bool start_rolls = true;           ///< without an APU the second start is made standing
};
[[nodiscard]] PhaseFlows phase_flows(const routing::Question& q, const motion::CostTable& one, const motion::CostTable& all,
                                     double moves_per_min);

/// A plan with its way.
struct PlannedWay {
  routing::Way way;
  std::vector<Phase> phase;         ///< by arc of the way
  std::vector<Standing> standings;  ///< `after` is an index of the way's arcs; without the stops at places between
  double cost_kg = 0.0, time_s = 0.0;
  double charge_kg = 0.0;  ///< for what is to be used as little as possible; not in the cost
  /// Departure: index of the arc at whose end the queue stands.
  std::optional<std::size_t> queue_after;

  [[nodiscard]] bool one() const;  ///< drives an arc in ONE
};

struct PlannedWays {
  std::optional<PlannedWay> with_one, reference;
};

/// Stands all asked about at once, beside one runway end: beginnings of departures or ends of arrivals.
struct FieldStands {
  std::vector<int> stand;                               ///< of the network
  std::vector<std::vector<routing::Beginning>> pushed;  ///< departures: push backs of each
};

class PhaseField {
 public:
  /// `every`: the rules as far as they had to be relaxed for every engine. `stands`: take the place of the question's
  /// stand. All must outlive the field.
  PhaseField(const routing::Question& q, const routing::Attempt& every, const motion::CostTable& one,
             const motion::CostTable& all, const Barred& barred, const PlanRequest& request,
             const FieldStands* stands = nullptr);

  /// The cheapest plans: exact.
  [[nodiscard]] PlannedWays plan(double queue_s) const;
  /// The cheapest plans of each of the stands, in one search; by their order. May be shorter than they are many: the others
  /// have none.
  [[nodiscard]] std::vector<PlannedWays> plan_all(double queue_s) const;
  /// The cheapest plans on one way.
  [[nodiscard]] PlannedWays plan_on(const routing::Way& way, double queue_s) const;
  /// The way of the cheapest plan, with ONE where there is one, were arcs so many times as dear (by arc, 1 or more).
  [[nodiscard]] std::optional<routing::Way> way_if_dearer(const std::vector<double>& factor, double queue_s) const;

  [[nodiscard]] const motion::CostTable& one() const { return *one_; }
  [[nodiscard]] const motion::CostTable& all() const { return *all_; }
  [[nodiscard]] const PhaseFlows& flows() const { return flows_; }
  [[nodiscard]] const routing::Question& question() const { return *q_; }
  /// Whether the set may drive this arc of a way, with the movement into it, in ONE or START.
  [[nodiscard]] bool one_may_drive(const routing::Way& way, std::size_t arc) const;
  /// Whether it may not, a departure's start from rest included.
  [[nodiscard]] bool one_kept_out(const routing::Way& way, std::size_t arc) const;

 private:
  struct State {
    network::ArcId arc{};
    std::size_t layer = 0;
  };
  struct Begin {
    routing::Beginning beginning;
    std::vector<network::ArcId> before;  ///< arcs driven before the state's
  };
  struct Tables {
    std::vector<std::uint32_t> states;  ///< of the graph, by their numbers among all
    std::vector<PhaseTerminal> begins, ends;
    std::vector<std::size_t> begin_of, end_of;  ///< of each: its number among all
    std::vector<PhaseStep> steps;
  };

  void relieve();
  [[nodiscard]] bool relieved(network::ArcId a) const;
  [[nodiscard]] bool stands_on(network::ArcId a, double metres) const;
  [[nodiscard]] bool one_open(network::ArcId a) const;
  [[nodiscard]] bool one_open_move(std::size_t m) const;
  [[nodiscard]] double charge_kg(network::ArcId a) const;
  [[nodiscard]] std::size_t layer_after(std::size_t layer, network::ArcId a) const;
  void fill(const motion::Cost& one, bool one_open, const motion::Cost& all, double charge_kg, ByPhase& cost,
            ByPhase& time) const;
  [[nodiscard]] PhaseStep step(std::size_t m) const;
  void add_steps();
  void add_stop(std::size_t layer, network::ArcId from, PhaseStep& step) const;
  void add_departures();
  void add_departure(const routing::Beginning& beginning, std::uint32_t stand);
  void add_begin(const PhaseTerminal& terminal, Begin begin);
  std::uint32_t start_zone(std::vector<network::ArcId>& chain, std::size_t layer, double zone_m);
  void add_arrivals(const routing::Terminals& terminals);
  void add_end(const routing::Goal& goal, std::uint32_t stand);
  void add_ends(const routing::Terminals& terminals);
  [[nodiscard]] motion::Cost chain_cost(const motion::CostTable& table, const Begin& begin, network::ArcId last) const;
  [[nodiscard]] std::uint32_t state_of(std::size_t layer, network::ArcId a) const;
  [[nodiscard]] std::unique_ptr<PhaseGraph> graph_of(const Tables& tables) const;
  [[nodiscard]] PlannedWays search(PhaseSearch& search, const Tables& tables, double queue_s) const;
  [[nodiscard]] PlannedWays search_afresh(const Tables& tables, double queue_s) const;
  [[nodiscard]] ArrivalProblem arrival_of(const Tables& tables) const;
  [[nodiscard]] DepartureProblem departure_of(const Tables& tables, double queue_s) const;
  [[nodiscard]] PlannedWays told(const PhaseAnswer& answer, const Tables& tables) const;
  [[nodiscard]] PlannedWay told(const PhasePlan& plan, const Tables& tables) const;

  const routing::Question* q_;
  const motion::CostTable *one_, *all_;
  const Barred* barred_;
  const PlanRequest* request_;
  const FieldStands* stands_;
  routing::Attempt every_, only_;
  routing::Weights every_open_, one_open_;
  PhaseFlows flows_;
  std::vector<State> states_;
  std::vector<Begin> begins_;    ///< by number of a begin
  std::vector<bool> end_turns_;  ///< by number of an end: turns round there
  Tables tables_;
  // Asked with one queue after the other: graph and scratch memory stay. So a field is used by one thread at a time.
  std::unique_ptr<PhaseGraph> graph_;
  std::unique_ptr<PhaseSearch> search_;
};

}  // namespace solotaxi::planning
