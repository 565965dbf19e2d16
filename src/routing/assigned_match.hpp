// Trials of one clearance: its ends resolved, each tried with the entries and rules find_route would try. Not public.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "routing/assigned_search.hpp"
#include "routing/relax.hpp"

namespace solotaxi::routing {

/// Where a way may end.
struct AssignedEnd {
  Place to;
  std::vector<std::string> names;  ///< taxiways it names
};

/// What is matched: the parts of a question that stay the same over its trials.
struct MatchCase {
  const Network* net = nullptr;
  const aircraft::Aircraft* aircraft = nullptr;
  const motion::Conditions* conditions = nullptr;
  const Clearance* clearance = nullptr;
  RouteRequest request;  ///< all but the end
  std::vector<AssignedEnd> ends;
  bool any_place = false;  ///< places that no set of engines can drive, and those too small, are taken all the same
};

/// The ends a clearance leaves: one, or every holding position of its name. Throws Error for places that do not resolve,
/// for no end at all, and where the clearance ends elsewhere than asked.
[[nodiscard]] MatchCase make_case(const Network& net, const aircraft::Aircraft& aircraft,
                                  const motion::Conditions& conditions, const Clearance& clearance,
                                  const AssignedRequest& request);

/// One end with all that is asked there. The case must outlive it.
struct Trial {
  Trial(const MatchCase& asked, AssignedEnd end);
  Trial(const Trial&) = delete;
  Trial& operator=(const Trial&) = delete;

  const MatchCase& asked;
  AssignedEnd end;
  RouteRequest request;
  Question q;
  CostTable table;
  Lines lines;
  Rules rules;
};

struct Match {
  std::unique_ptr<Trial> trial;
  FoundWay way;
  std::vector<OtherWay> others;
  std::optional<double> other_end_longer_m;  ///< another end of the same name can be reached too, so much longer
  Place other_end;
  bool short_entry = false;  ///< the entry is further from the runway's end than one for full length may be
};

/// What the nearest trial came to where none found a way.
struct Furthest {
  AssignedSearch::Furthest search;
  std::vector<std::string> meets;  ///< names that can be driven onto from the last arcs
  bool needs_backtrack = false;    ///< full length cannot be had without one, and none is given
  bool touches = false;            ///< the item that fails and the one before it have a node in common
};

struct MatchResult {
  std::optional<Match> match;
  std::optional<Furthest> furthest;  ///< where there is no match
};

/// Junctions nearer to each other than this are one [m]; assumed.
inline constexpr double kOneJunction_m = 80.0;

[[nodiscard]] MatchResult match(const MatchCase& asked);
/// With words put in or left out, as few as will do.
[[nodiscard]] std::optional<Match> match_edited(const MatchCase& asked);

/// The answer in terms of the network it was asked on.
[[nodiscard]] AssignedWay tell_way(const Match& match);
[[nodiscard]] CannotFollow tell_failure(const MatchCase& asked, const Furthest& furthest);

/// What the clearance leaves open on a way of that length that ends there.
[[nodiscard]] std::vector<AssignedChoice> tell_choices(const Match& match, double length_m, NodeId last);

/// The clearance that an edited way follows.
[[nodiscard]] Clearance edited_clearance(const Match& match);

}  // namespace solotaxi::routing
