// Turns worth telling: movements, bends inside arcs, whole curves and turn-rounds of 30° and more.
#include <cmath>
#include <numbers>
#include <utility>

#include "routing/assemble.hpp"

namespace solotaxi::routing {
namespace {

constexpr double kTold_rad = std::numbers::pi / 6.0;

/// Portions of one curve are traced out of different arcs: their figures agree to rounding.
bool alike(double a, double b) {
  constexpr double kAgree = 1e-6;
  return std::abs(a - b) <= kAgree * std::abs(a);
}

/// A bend of the shape as the route meets it.
struct Met {
  const network::Bend* bend = nullptr;
  bool movement = false;
  std::size_t number = 0;                       ///< index of Network::movements or Shape::bends
  double from_m = 0.0, to_m = 0.0, at_m = 0.0;  ///< chainage along the route
  LatLon at;
};

class TurnTeller {
 public:
  TurnTeller(const Telling& t, Route& route) : t_(t), route_(route) {
    const auto set = t.asked->running_set();
    if (!(set == aircraft::all_engines(*t.q->aircraft))) arm_m_ = aircraft::mean_arm_m(*t.q->aircraft, set);
  }

  void tell(const Steps& steps) {
    const Network& net = *t_.q->net;
    for (const Step& step : steps.steps) {
      if (step.turn_round) {
        tell_curve();
        tell_round(step.before, step.from_m, net.node(net.tail(step.arc)).at);
      } else if (step.movement) {
        const auto& bend = t_.q->shape.movement[*step.movement];
        meet({&bend, true, *step.movement, step.from_m, step.from_m, step.from_m, net.node(net.tail(step.arc)).at});
      }
      const auto first = t_.q->shape.first_bend[index(step.arc)];
      const auto bends = t_.q->shape.bends_of(step.arc);
      for (std::size_t i = 0; i < bends.size(); ++i) {
        const auto& b = bends[i];
        const auto point = slice(net, step.arc, b.at_m, net.segment(step.arc).length_m).points.front().at;
        meet({&b, false, first + i, step.from_m + b.from_m, step.from_m + b.to_m, step.from_m + b.at_m, point});
      }
    }
    tell_curve();
    if (t_.way->turn_round_at_end) {
      const ArcId last = t_.way->arcs.back();
      tell_round(last, steps.length_m - turn_round_way_m(t_.driven->turn_round(last)), net.node(net.head(last)).at);
    }
  }

 private:
  void meet(const Met& m) {
    if (!std::isfinite(m.bend->radius_m)) return;  // straight on; a curve it lies in carries its radius
    if (m.bend->faint != 0) {                      // it counts in the angle of its curve, which comes or has been
      if (m.bend->faint > 0 && !curve_.empty()) tell_curve();
      if (m.bend->faint > 0 || !curve_.empty()) faint_rad_ += m.bend->own_angle_rad;
      return;
    }
    if (!m.bend->curve) {
      tell_curve();
      if (std::abs(m.bend->angle_rad) >= kTold_rad) route_.turns.push_back(turn(m, m.bend->angle_rad));
      return;
    }
    // A curve runs on through its portions until one ends it; another branch may leave it in the middle.
    if (!curve_.empty()) {
      const Met& before = curve_.back();
      const bool same = alike(before.bend->radius_m, m.bend->radius_m) && alike(before.bend->angle_rad, m.bend->angle_rad);
      const bool ended = !before.movement && before.bend->curve_ends;
      if (!same || ended || (!m.movement && m.bend->curve_begins)) tell_curve();
    }
    curve_.push_back(m);
  }

  void tell_curve() {
    const double faint = std::exchange(faint_rad_, 0.0);
    if (curve_.empty()) return;
    double angle = faint * curve_.front().bend->angle_rad > 0.0 ? faint : 0.0;
    const Met* worst = &curve_.front();
    for (const Met& m : curve_) {
      angle += m.bend->own_angle_rad;
      if (place_of(*t_.asked, m).verdict > place_of(*t_.asked, *worst).verdict) worst = &m;
    }
    if (std::abs(angle) >= kTold_rad) {
      // Told at the portion nearest to the middle of the curve.
      const double middle = 0.5 * (curve_.front().from_m + curve_.back().to_m);
      const Met* near = &curve_.front();
      for (const Met& m : curve_)
        if (std::abs(m.at_m - middle) < std::abs(near->at_m - middle)) near = &m;
      Turn told = turn(*worst, angle);
      told.at_m = near->at_m;
      told.at = near->at;
      route_.turns.push_back(told);
    }
    curve_.clear();
  }

  [[nodiscard]] static const motion::PlaceVerdict& place_of(const CostTable& table, const Met& m) {
    return cost_of(table, m).place;
  }
  [[nodiscard]] static const motion::TurnCost& cost_of(const CostTable& table, const Met& m) {
    return m.movement ? table.movement(m.number) : table.bend(m.number);
  }

  Turn turn(const Met& m, double angle) {
    Turn out;
    out.at_m = m.at_m;
    out.at = m.at;
    out.angle_rad = angle;
    out.radius_m = m.bend->radius_m;
    out.assumed = m.bend->assumed;
    out.tight_drawing = m.bend->tight_drawing;
    if (arm_m_) out.toward_running = *arm_m_ * angle > 0.0;
    out.thrust_factor = cost_of(*t_.asked, m).thrust_factor;
    out.place = place_of(*t_.asked, m);
    if (out.tight_drawing)
      out.at_steering_limit = m.movement ? t_.asked->movement_at_limit(m.number) : t_.asked->bend_at_limit(m.number);
    return out;
  }

  void tell_round(ArcId arc, double at_m, LatLon at) {
    const auto round = t_.asked->turn_round(arc);
    Turn out;
    out.at_m = at_m;
    out.at = at;
    out.angle_rad = std::numbers::pi * round.side;
    out.radius_m = round.radius_m;
    out.turn_round = true;
    if (arm_m_) out.toward_running = *arm_m_ * out.angle_rad > 0.0;
    out.thrust_factor = round.turn.thrust_factor;
    out.place = round.turn.place;
    route_.turns.push_back(out);
  }

  const Telling& t_;
  Route& route_;
  std::optional<double> arm_m_;  ///< of the running set, unless it is every engine
  std::vector<Met> curve_;
  double faint_rad_ = 0.0;  ///< turned before the curve begins and after it ends
};

}  // namespace

void add_turns(const Telling& t, const Steps& steps, Route& route) { TurnTeller(t, route).tell(steps); }

}  // namespace solotaxi::routing
