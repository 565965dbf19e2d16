// The shape of the ways through a network: how tight each bend is, judged along through-lines and not single segments.
//
// A map's polylines are drawn by hand: an undrawn corner, an arc of short chords and a kink of drawing noise must each give
// the radius an aircraft would steer, and half a metre must not decide what a place costs. The rules are those of the
// ground-movement model, section 2, made to change gradually where the model has a limit that noise carries a place over:
//  - simplify to 0.3 m. A vertex within 3 m of a line's end, and one that bends against both its neighbours, are noise up
//  to
//    twice that: both ends of the leg may be off;
//  - a straight goes on until it has turned by 5° to one hand, over nodes and vertices; beside a bend of under 20° by a
//  quarter
//    of it, beside one of over 40° by an eighth. (In the model 5° at each node, and any vertex ends it.);
//  - a run of bends of one hand is one curve, each under 60°, with legs under 60 m, beside bends of 20° to 30° falling to
//  25 m,
//    R = max(way, wheelbase) / angle. (In the model each is under 20°, in the thick of the chords real maps draw curves
//    with.) Where both readings meet, a curve and corners by themselves are about as tight. The way, and where a curve
//    begins and ends, are read from where it turns: each bend evenly over half the legs beside it, as chords and tangents
//    say it, and the mean of what the middle 90, 70, 50, 30 and 10 % of the turning say. (In the model first bend to last,
//    which a faint bend far off makes three times as long);
//  - a run that hardly turns beside one of its bends is that corner, and one that turns under 30° is no tighter than a
//  corner of
//    its angle; in between by degrees;
//  - a single bend α is steered on R = min(t / tan(α/2), R_cap(α)), t half of the shorter straight beside it, and is not
//    tighter than the turning summed over one wheelbase. That sum is taken on the safe side: the most that any stretch of
//    up to a wheelbase with the bend in it turns. Summed over half a wheelbase either way alone, two sharp bends that undo
//    each other would be no turn at all, and an arc of long chords wider than it is drawn. Only where a sharp bend is
//    refused does that net sum still count: a hook undone within the wheelbase is a tight drawing however sharp;
//  - a place under the steering limit that turns at most 100° is a tight drawing, judged at `tight_radius_m`; its zone, and
//  the
//    speed it is driven at, are those of the limit, so that a drawing just under it costs as one just over it. A curve that
//    turns more is refused, unless that is so only because bends of over 25° were joined.
// Accuracy: 0.3 m of noise on every vertex of four real fields changed the fuel of 0.14 % of 5,580 routes of 800 m and more
// by over 2 %, at most by 2.5 %; half of them by under 0.2 %.
// Where exactly two segments meet, the node is a vertex like any other, so dividing a segment changes no bend.
//
// Through-lines. A movement a → b is traced back along a and forward along b, through nodes by the straightest
// continuation; a bend inside an arc is traced out of both ends of its arc in the same way. So every bend depends on its
// arc or movement alone and not on the route, and the reversed arc or movement has the same bend with the angle negated.
// Driving direction and closures play no part: the shape is that of the drawing. A node whose two straightest continuations
// deflect equally, to either hand, has none.
//
// How a curve over several arcs is charged. A curve is laid out in portions: one Bend for each arc it touches, and one for
// each movement it passes (whether the node is one of its vertices or lies in a leg). All of them carry the angle and the
// radius of the whole curve. On an arc, from_m … to_m is driven at the curve's speed and turn thrust. A change of speed
// belongs exactly where a flag stands:
//  - `curve_begins` on a bend inside an arc: the curve's first vertex lies inside the arc, at from_m; brake before it;
//  - `curve_ends` on a bend inside an arc: its last vertex lies inside the arc, at to_m; speed up after it;
//  - a portion without the flag reaches the arc's end (from_m = 0, or to_m = the length) and goes on over the node;
//  - on a movement that is `curve`: `curve_begins` says that the arc before is not on a curve up to its end, so that the
//    braking is charged at this node; `curve_ends` that the arc after is not on a curve from its start;
//  - on a movement that is no curve (its own bend is charged like any other): `curve_begins` says that the arc after is on
//    a curve from its very start all the same (the drawing's through-line comes from another branch), so that the braking
//    to the speed of bends_of(to).front() is owed here; `curve_ends` the same of the arc before and bends_of(from).back().
// So along any route a speed change at every flag, and at every single bend, charges each curve's beginning and end once.
//
// Depends on the aircraft (wheelbase, fillet radius), so it is traced anew for each. Cost is linear in vertices +
// movements, with a bounded number of vertices around each.
#pragma once

#include <cstdint>
#include <limits>
#include <span>
#include <vector>

#include "solotaxi/network/network.hpp"

namespace solotaxi::network {

struct ShapeOptions {
  double wheelbase_m = 12.6;       ///< aircraft's, > 0
  double steering_max_deg = 75.0;  ///< aircraft's nose-wheel limit, 0…90
  double fillet_radius_m = 30.0;   ///< R_fillet > 0, assumed
  double tight_radius_m = 30.0;    ///< judged radius of a place drawn tighter than steering allows; assumed = R_fillet
  double simplify_m = 0.3;         ///< drawing noise, ≥ 0: vertices nearer to the line without them are left out
};

/// One bend as an arc meets it, or the bend a movement makes at its node.
struct Bend {
  double at_m = 0.0;           ///< along the arc in its own direction; the middle of a curve's portion; 0 for a movement
  double from_m = 0.0;         ///< along the arc: a curve's portion begins, or a single bend's zone (not before 0) …
  double to_m = 0.0;           ///< … and ends (not after the arc's length); equal to at_m for a movement
  double angle_rad = 0.0;      ///< signed, right positive; of the whole curve where it is one
  double own_angle_rad = 0.0;  ///< turned at this vertex or node, or in this portion (its ends at nodes left out). Summed
                               ///< along a route: its change of heading
  double radius_m = std::numeric_limits<double>::infinity();        ///< line radius, > 0; infinity where there is no bend
  double drawn_radius_m = std::numeric_limits<double>::infinity();  ///< before `tight_radius_m` took over, else radius_m
  bool assumed = false;                                             ///< radius is the fillet's, not the map's
  bool tight_drawing = false;  ///< drawn under the steering limit, judged at tight_radius_m (or the limit, if that is more)
  bool curve = false;          ///< part of a run of bends of one hand
  /// Of a curve's run of bends, though the curve itself has not begun yet (1) or has ended (-1), as met; else 0. No tighter
  /// than the curve.
  std::int8_t faint = 0;
  bool curve_begins = false;   ///< slow down to a curve here; see above
  bool curve_ends = false;     ///< speed up from a curve here; see above
  bool refused = false;        ///< cannot be steered (over 100° under the steering limit, or a vertex over 135°)
  double zone_before_m = 0.0;  ///< τ = R tan(α/2) cut to the straight before it; may reach over nodes
  double zone_after_m = 0.0;  ///< τ cut to the straight after it. Of a curve: what R · angle exceeds its drawn length by,
                              ///< half on each side, and only where the curve begins or ends; R the steering limit in a
                              ///< tight drawing
  bool operator==(const Bend&) const = default;
};

struct Shape {
  std::vector<Bend> movement;             ///< by index of Network::movements
  std::vector<std::uint32_t> first_bend;  ///< by arc, size arcs + 1
  std::vector<Bend> bends;                ///< bends and curves inside arcs, ascending in at_m; never at an arc's ends
  /// By arc: index in Network::movements of its straightest continuation (turn-rounds left out; off to a stand or over a
  /// connector only where nothing else goes on), kNoMovement at a dead end.
  std::vector<std::uint32_t> straight_on;
  static constexpr std::uint32_t kNoMovement = 0xFFFFFFFF;

  [[nodiscard]] std::span<const Bend> bends_of(ArcId a) const {
    return {bends.data() + first_bend[index(a)], bends.data() + first_bend[index(a) + 1]};
  }
};

/// Throws Error (usage) for an option out of its range. A turn-round gets the angle π and the least radius steering allows.
[[nodiscard]] Shape trace_shape(const Network& network, const ShapeOptions& options);

}  // namespace solotaxi::network
