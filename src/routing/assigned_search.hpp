// The search over (arc × position in the clearance), plain or with items left out and put in.
#pragma once

#include <compare>
#include <queue>
#include <tuple>
#include <unordered_map>

#include "routing/assigned_rules.hpp"

namespace solotaxi::routing {

/// Words put in or left out come first, then the ordered cost.
struct EditedCost {
  std::int64_t edits = 0;
  OrderedCost way;
  auto operator<=>(const EditedCost&) const = default;
  friend EditedCost operator+(const EditedCost& a, const EditedCost& b) { return {a.edits + b.edits, a.way + b.way}; }
};

/// An arc of the way found, with the items done when it is driven.
struct FoundArc {
  ArcId arc{};
  std::size_t next = 0;  ///< items done, this arc's included
  LineId line = 0;       ///< it is driven as this line; kStartLine and kEndLine off the lines
  bool put_in = false;   ///< it begins a line that the clearance does not have
  bool begins = false;   ///< it begins the last of them
  std::size_t turn = 0;  ///< the turn it is entered by is item turn - 1; 0: by none
};

struct FoundWay {
  EditedCost cost;
  Beginning beginning;
  std::vector<FoundArc> arcs;
  Mask mask = 0;
  bool turn_round_at_end = false;
};

/// Another way to begin an item.
struct OtherWay {
  std::size_t item = 0;
  NodeId taken{}, other{};  ///< where its first arc begins
  std::int64_t longer_mm = 0;
};

/// One search; not to be used twice.
class AssignedSearch {
 public:
  AssignedSearch(const Rules& rules, const Weights& weights, const Terminals& terminals);

  /// The way of least cost. Plain searches visit every state, so that `others` and `furthest` know; with edits the search
  /// ends with the answer.
  std::optional<FoundWay> run();

  /// After a plain `run` that found a way: for each item the best way that begins it elsewhere, at least `apart_m` away.
  [[nodiscard]] std::vector<OtherWay> others(double apart_m) const;

  /// After a plain `run`: how many items were done at most, and the last arcs driven there.
  struct Furthest {
    std::size_t items = 0;
    std::vector<ArcId> arcs;
    std::vector<NodeId> beginnings;      ///< where driving begins
    std::vector<ArcId> starts;           ///< first arcs the way could begin on, whatever they are called
    bool goal_without_bindings = false;  ///< an end was reached, but not by every place it has to come by
    Mask most = 0;                       ///< binding bits of the nearest such end
  };
  [[nodiscard]] Furthest furthest() const;

 private:
  static constexpr std::uint32_t kNone = 0xFFFFFFFF;
  struct State {
    ArcId arc{};
    std::uint32_t parent = kNone;
    std::uint32_t seed = kNone;
    std::uint32_t between = kNone;  ///< index into between_: unnamed arcs of a turn before `arc`
    LineId line = kStartLine;
    std::uint16_t next = 0, turn = 0;
    Mask mask = 0;
    bool put_in = false, begins = false, settled = false;
    EditedCost cost;
  };
  struct Edge {
    std::uint32_t from, to;
    OrderedCost weight;
  };
  /// How an arc may be entered.
  struct Entry {
    std::uint16_t next;
    LineId line;
    std::uint16_t edits = 0;
    bool put_in = false, begins = false;
    Mask bits = 0;
    std::uint16_t turn = 0;  ///< as FoundArc::turn
  };

  using Entries = std::vector<Entry>;
  /// Adds the ways in which an arc may be entered from a state.
  void entries(std::uint16_t next, LineId line, Mask mask, ArcId arc, Entries& out) const;
  void runway_entries(std::uint16_t next, LineId line, Mask mask, ArcId arc, Entries& out) const;
  /// Adds the items that a line begins: the next one, or with edits a later one.
  void begun_by(std::uint16_t next, LineId line, Entries& out) const;
  /// Makes a step from a settled state; `to` lacks what the entry tells.
  void step(std::uint32_t from, State to, const Entry& entry, const OrderedCost& weight, std::int64_t edits);
  void seed();
  /// Adds the ways in which the arc a landing roll leaves the runway by is a turn to a side that the clearance begins with.
  void turns_off(const Beginning& beginning, const Seed& seed, std::size_t k, Entries& out) const;
  void expand(std::uint32_t from);
  /// Makes the turns of item `number` from a settled state.
  void turn(std::uint32_t from, std::size_t number);
  class Turner;
  [[nodiscard]] Mask passed(ArcId from, ArcId to) const;
  [[nodiscard]] bool may_turn_round(Mask mask, ArcId arc) const;
  /// The number of the state, which is new, improved or left as it was.
  std::uint32_t reach(const State& state);
  [[nodiscard]] std::optional<EditedCost> end_cost(const State& s, const Goal& goal) const;
  [[nodiscard]] FoundWay trace(std::uint32_t last, const Goal& goal, const EditedCost& cost) const;
  [[nodiscard]] NodeId entered_at(const State& s) const;

  const Rules& rules_;
  const Weights& weights_;
  const Terminals& terminals_;
  const Network& net_;
  std::unordered_multimap<std::uint32_t, Goal> goals_;
  std::vector<State> states_;
  std::vector<std::vector<ArcId>> between_;
  std::vector<Edge> edges_;
  std::unordered_map<std::uint64_t, std::uint32_t> known_;
  /// Cost, arc, state: ties are broken as the route question breaks them, by arc.
  using Waiting = std::tuple<EditedCost, ArcId, std::uint32_t>;
  std::priority_queue<Waiting, std::vector<Waiting>, std::greater<>> queue_;
  std::uint32_t best_ = kNone;
  EditedCost best_cost_;
  const Goal* best_goal_ = nullptr;
};

}  // namespace solotaxi::routing
