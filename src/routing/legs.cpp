// Legs: the way cut where name, kind or verdict changes, with its time and fuel shared out.
#include <algorithm>
#include <cmath>
#include <limits>

#include "routing/assemble.hpp"

namespace solotaxi::routing {
namespace {

/// The least way behind a turn that is marked with the turn's verdict where that is worse than the line's [m]; assumed.
constexpr double kTurnMark_m = 5.0;
constexpr double kTouch_m = 1e-6;

/// A leg being written, with what its grades are made of.
class LegWriter {
 public:
  explicit LegWriter(Route& route) : route_(route) {}

  struct Piece {
    std::string name;
    LineKind kind{};
    bool push_back = false;
    motion::PlaceVerdict place;
    double length_m = 0.0;
    Cost cost;
    Slice slice;
  };

  void add(Piece piece) {
    const bool same = !route_.legs.empty() && route_.legs.back().name == piece.name &&
                      route_.legs.back().kind == piece.kind && route_.legs.back().push_back == piece.push_back &&
                      route_.legs.back().place.verdict == piece.place.verdict;
    if (!same) {
      close();
      Leg leg;
      leg.name = piece.name;
      leg.kind = piece.kind;
      leg.push_back = piece.push_back;
      leg.from_m = at_m_;
      leg.place = piece.place;
      route_.legs.push_back(std::move(leg));
    } else {
      route_.legs.back().place = motion::worse(route_.legs.back().place, piece.place);
    }
    Leg& leg = route_.legs.back();
    double run_m = at_m_;
    for (const Slice::Run& run : piece.slice.runs) {
      leg.grades.push_back({run_m, run.length_m, run.height_m, run.grade, run.grade_sd});
      run_m += run.length_m;
    }
    leg.length_m += piece.length_m;
    at_m_ += piece.length_m;
    leg.time_s += piece.cost.time_s;
    leg.fuel_kg += piece.cost.fuel_kg;
    for (const RoutePoint& p : piece.slice.points)
      if (leg.geometry.empty() || leg.geometry.back().at != p.at) leg.geometry.push_back(p);
  }

  /// Adds to the leg written last: what stopping or standing costs there.
  void charge(const Cost& cost) {
    if (route_.legs.empty()) return;
    route_.legs.back().time_s += cost.time_s;
    route_.legs.back().fuel_kg += cost.fuel_kg;
  }

  void close() {
    if (route_.legs.empty()) return;
    Leg& leg = route_.legs.back();
    if (leg.geometry.size() == 1)
      leg.geometry.push_back(leg.geometry.front());  // a line has two ends, even one of no length
    const double none = std::numeric_limits<double>::quiet_NaN();
    double rise = 0.0, way = 0.0;
    leg.grade_max = none;
    for (const GradeRun& r : leg.grades) {
      rise += r.length_m * r.grade;  // NaN where a part is unknown
      way += r.length_m;
      if (!std::isnan(r.grade) && !(leg.grade_max >= r.grade)) leg.grade_max = r.grade, leg.grade_max_sd = r.grade_sd;
    }
    leg.grade_mean = way > 0.0 ? rise / way : none;
  }

 private:
  Route& route_;
  double at_m_ = 0.0;
};

std::string name_of(const network::Segment& s, const Network& net) {
  if (s.kind == LineKind::runway && s.runway >= 0) return net.runways[static_cast<std::size_t>(s.runway)].name;
  return s.name;
}

void add_push_back(const Telling& t, LegWriter& legs, Route& route) {
  const Question& q = *t.q;
  const Network& net = *q.net;
  route.push_back_s = q.conditions->push_back_s;
  route.push_back_fuel_kg = route.push_back_s * t.driven->standing_flow_kg_s();
  motion::PlaceVerdict pushed;  // nothing is asked of the engines
  pushed.margin = std::numeric_limits<double>::quiet_NaN();
  const Cost cost{route.push_back_s, route.push_back_fuel_kg};
  double whole_m = 0.0;
  for (const ArcId a : t.way->beginning.pushed) whole_m += net.segment(a).length_m;
  if (!(whole_m > 0.0)) {
    const auto& node = net.node(t.way->beginning.node);
    const auto& first = net.segment(t.way->arcs.front());
    legs.add({name_of(first, net), first.kind, true, pushed, 0.0, cost, {{{node.at, node.height_m}}, {}}});
    return;
  }
  for (const ArcId a : t.way->beginning.pushed) {
    const auto& s = net.segment(a);
    const double share = s.length_m / whole_m;
    legs.add({name_of(s, net),
              s.kind,
              true,
              pushed,
              s.length_m,
              {cost.time_s * share, cost.fuel_kg * share},
              slice(net, a, 0.0, s.length_m)});
  }
}

/// The stretches of an arc by the asked set, its first metres marked with the turn into it where that is the worse.
std::vector<motion::Stretch> marked_stretches(const Telling& t, const Step& step, motion::PlaceVerdict* turn) {
  auto stretches = t.asked->stretches(step.arc);
  if (!turn || stretches.empty()) return stretches;
  if (turn->verdict <= stretches.front().place.verdict) {
    stretches.front().place = motion::worse(stretches.front().place, *turn);
    return stretches;
  }
  const double zone = step.movement ? t.q->shape.movement[*step.movement].zone_after_m : 0.0;
  const double mark = std::max(zone, kTurnMark_m);
  std::vector<motion::Stretch> out;
  for (const auto& s : stretches) {
    if (s.from_m >= mark - kTouch_m) {
      out.push_back(s);
      continue;
    }
    motion::Stretch near = s;
    near.to_m = std::min(s.to_m, mark);
    near.place = motion::worse(s.place, *turn);
    out.push_back(near);
    if (s.to_m > mark + kTouch_m) out.push_back({mark, s.to_m, s.place});
  }
  return out;
}

}  // namespace

void add_legs(const Telling& t, const Steps& steps, Route& route) {
  const Question& q = *t.q;
  const Network& net = *q.net;
  LegWriter legs(route);
  Cost total;
  const auto probable = [&](const motion::PlaceVerdict& p) {
    route.probability = std::min(route.probability, p.probability);
  };
  if (q.direction == Direction::departure) {
    add_push_back(t, legs, route);
    total += {route.push_back_s, route.push_back_fuel_kg};
  }
  for (const Step& step : steps.steps) {
    const auto& s = net.segment(step.arc);
    Cost entering;
    motion::PlaceVerdict turn_place;
    motion::PlaceVerdict* turn = nullptr;
    double extra_m = 0.0;
    if (step.turn_round) {
      const auto round = t.driven->turn_round(step.before);
      turn_place = t.asked->turn_round(step.before).turn.place;
      turn = &turn_place;
      extra_m = turn_round_way_m(round);
      entering = round.turn.cost;
    } else if (step.movement) {
      turn_place = t.asked->movement(*step.movement).place;
      turn = &turn_place;
      entering = t.driven->movement(*step.movement).cost;
    }
    if (turn) probable(*turn);
    if (step.stop) {
      const double seconds = q.request->via[*step.stop].stop_min * 60.0;
      route.standing_s += seconds;
      const Cost standing = t.driven->stop(step.before) + Cost{seconds, seconds * t.driven->standing_flow_kg_s()};
      legs.charge(standing);
      total += standing;
    }
    if (step.stop || (!step.movement && !step.turn_round)) entering += t.driven->start_from_rest(step.arc);
    if (extra_m > 0.0)
      legs.add({name_of(s, net),
                s.kind,
                false,
                turn_place,
                extra_m,
                entering,
                {{{net.node(net.tail(step.arc)).at, net.node(net.tail(step.arc)).height_m}}, {}}});
    const Cost arc = t.driven->arc(step.arc);
    total += entering + arc;
    Cost here = extra_m > 0.0 ? Cost{} : entering;
    for (const auto& part : marked_stretches(t, step, extra_m > 0.0 ? nullptr : turn)) {
      const double length = part.to_m - part.from_m;
      const double share = s.length_m > 0.0 ? length / s.length_m : 1.0;
      probable(part.place);
      legs.add({name_of(s, net), s.kind, false, part.place, length, here + Cost{arc.time_s * share, arc.fuel_kg * share},
                slice(net, step.arc, part.from_m, part.to_m)});
      here = {};
    }
  }
  const ArcId last = t.way->arcs.back();
  if (t.way->turn_round_at_end) {
    const auto round = t.driven->turn_round(last);
    const auto& end = net.node(net.head(last));
    const auto place = t.asked->turn_round(last).turn.place;
    probable(place);
    const Cost cost = last_turn_round(*t.driven, last);
    legs.add({name_of(net.segment(last), net),
              net.segment(last).kind,
              false,
              place,
              turn_round_way_m(round),
              cost,
              {{{end.at, end.height_m}}, {}}});
    total += cost;
  } else {
    const Cost stop = t.driven->stop(last);
    legs.charge(stop);
    total += stop;
  }
  legs.close();
  route.time_s = total.time_s;
  route.fuel_kg = total.fuel_kg;
  route.length_m = steps.length_m;
}

std::string designators(const Route& route) {
  std::string out, last;
  for (const Leg& leg : route.legs) {
    if (leg.push_back || leg.name.empty() || leg.name == last) continue;
    out += (out.empty() ? "" : ", ") + leg.name;
    last = leg.name;
  }
  return out;
}

}  // namespace solotaxi::routing
