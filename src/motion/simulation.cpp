#include "solotaxi/motion/simulation.hpp"

#include <algorithm>
#include <cmath>
#include <string>

#include "simulation_sets.hpp"
#include "simulation_way.hpp"
#include "solotaxi/aircraft/engine.hpp"
#include "solotaxi/base/error.hpp"
#include "solotaxi/motion/place.hpp"

namespace solotaxi::motion {

namespace {

constexpr double kInfinity = std::numeric_limits<double>::infinity();
constexpr double kSameTime_s = 1e-9;
constexpr double kLeastStep_m = 0.01;  // a step is not cut shorter to begin braking exactly

/// e^-x; a step is short against the time constant, and the series is as exact and five times as fast.
double decay(double x) { return x < 1e-3 ? 1.0 - x * (1.0 - x * (0.5 - x / 6.0)) : std::exp(-x); }

class Runner {
 public:
  Runner(const network::Network& network, const network::Shape& shape, const aircraft::Aircraft& aircraft,
         const Conditions& conditions, const Drive& drive)
      : drive_(drive),
        engine_(aircraft, conditions.air, conditions.n1_limit_pct),
        mass_(conditions.mass_kg),
        up_(conditions.acceleration_m_s2),
        down_(conditions.braking_m_s2),
        crawl_u_(square(knots(conditions.min_grip_speed_kt).value())),
        ambient_c_(conditions.air.temperature_k - 273.15),
        brake_j_k_(aircraft.brakes * aircraft.brake_mass_kg * aircraft.brake_heat_j_kg_k),
        brake_tau_s_(aircraft.brake_tau_s) {
    check_drive();
    sets_ = DrivenSets(aircraft, conditions, drive.phases);
    way_ = lay_out(network, shape, conditions, drive, sets_.least_radius_m());
    sets_.meet(way_);
    reached_s_.assign(drive.phases.size(), std::numeric_limits<double>::quiet_NaN());
    limit_.resize(way_.pieces.size());
    cap_.resize(way_.points);
  }

  Simulation run() {
    out_.arc_from_m = way_.arc_from_m;
    out_.length_m = way_.length_m;
    out_.samples.reserve(way_.points + way_.pieces.size() / 2 + 2 * (drive_.stops.size() + drive_.phases.size()) + 1);
    out_.phases.resize(drive_.phases.size());
    now_.brake_c = out_.brake_most_c = drive_.brake_start_c.value_or(ambient_c_);
    watch_brakes();
    begin(0);
    if (drive_.start_mps > 0.0) {
      u_ = std::min(square(drive_.start_mps), cap_.front());
      now_.speed_mps = std::sqrt(u_);
    }
    record(standing_thrust(), 0.0, 0.0);
    for (piece_ = 0; piece_ < way_.pieces.size(); ++piece_) {
      arrive(way_.pieces[piece_].from_m);
      if (!roll(way_.pieces[piece_])) return std::move(out_);
    }
    arrive(way_.length_m);
    return std::move(out_);
  }

 private:
  static double square(double x) { return x * x; }

  void check_drive() const {
    if (drive_.phases.empty()) throw usage_error("a drive without phases");
    const auto range = [](const char* what, double value, double least, double most) {
      if (!(value >= least && value <= most))
        throw usage_error(std::string(what) + " of " + std::to_string(value) + " is out of range " + std::to_string(least) +
                          " to " + std::to_string(most));
    };
    range("step_m", drive_.step_m, 0.01, 10.0);
    range("start_mps", drive_.start_mps, 0.0, 100.0);
    range("brake temperature", drive_.brake_start_c.value_or(0.0), -100.0, 1500.0);
    range("brake caution", drive_.brake_caution_c, -100.0, 1500.0);
    for (const DriveStop& stop : drive_.stops) {
      range("standing_s", stop.standing_s, 0.0, 1e6);
      range("moves_per_min", stop.moves_per_min, 0.0, 60.0);
      range("last_phase_s", stop.last_phase_s, 0.0, 1e6);
      if (stop.at_m <= kSamePoint_m && drive_.start_mps > 0.0)
        throw usage_error("a drive that starts rolling does not stand at its start");
    }
    for (const DrivePhase& phase : drive_.phases) {
      range("delay_s", phase.delay_s, 0.0, 1e6);
      range("apu_kg_h", phase.apu_kg_h, 0.0, 1e5);
    }
    if (drive_.phases.front().delay_s > 0.0 || drive_.phases.front().from_m.value_or(0.0) > kSamePoint_m)
      throw usage_error("the first phase begins at the start");
  }

  [[nodiscard]] const PhaseFlow& flow_now() const { return sets_.phases()[phase_]; }
  [[nodiscard]] const DrivenSet& set_now() const { return sets_.set(flow_now().set); }

  // ---- limits ahead

  /// Braking backwards from the end to the piece where the aircraft is, for every set that may yet drive there.
  void look_ahead() {
    // From where a phase may be in force, and from where it surely is or is over.
    std::vector<double>&earliest = earliest_, &surely = surely_;
    const auto& phases = sets_.phases();
    earliest.assign(drive_.phases.size(), 0.0);
    surely.assign(drive_.phases.size(), 0.0);
    for (std::size_t k = phase_ + 1; k < drive_.phases.size(); ++k) {
      const double from = drive_.phases[k].from_m.value_or(0.0) - kSamePoint_m;
      earliest[k] = std::max(earliest[k - 1], from);
      surely[k] = drive_.phases[k].delay_s > 0.0 ? kInfinity : std::max(surely[k - 1], from);
    }
    std::size_t stop = drive_.stops.size();
    cap_.back() = drive_.end_at_rest ? 0.0 : kInfinity;
    for (std::size_t i = way_.pieces.size(); i-- > piece_;) {
      const DrivenWay::Piece& p = way_.pieces[i];
      double limit = kInfinity;
      for (std::size_t k = phase_; k < drive_.phases.size() && earliest[k] <= p.from_m; ++k)
        if (k + 1 == drive_.phases.size() || surely[k + 1] > p.from_m)
          limit = std::min(limit, sets_.pace(i, phases[k].set).limit_u);
      while (stop > stop_ && drive_.stops[stop - 1].at_m >= p.to_m - kSamePoint_m) {
        cap_[p.first_point + p.steps] = 0.0;
        --stop;
      }
      limit_[i] = limit;
      const double rise = 2.0 * down_ * (p.to_m - p.from_m) / p.steps;
      double cap = std::min(limit, cap_[p.first_point + p.steps]);
      cap_[p.first_point + p.steps] = cap;
      for (std::uint32_t g = p.first_point + p.steps; g-- > p.first_point;) cap_[g] = cap = std::min(limit, cap + rise);
    }
  }

  // ---- phases and standing

  [[nodiscard]] double due_s(std::size_t k) const {
    if (k >= drive_.phases.size()) return kInfinity;
    const double reached = drive_.phases[k].from_m ? reached_s_[k] : out_.phases[k - 1].begins_s;
    return std::isnan(reached) ? kInfinity : std::max(reached + drive_.phases[k].delay_s, out_.phases[k - 1].begins_s);
  }

  void begin(std::size_t k) {
    const bool same_set = k > 0 && sets_.phases()[k].set == flow_now().set;
    phase_ = k;
    out_.phases[k].at_m = now_.at_m;
    out_.phases[k].begins_s = now_.time_s;
    if (!same_set) look_ahead();
    due_ = due_s(k + 1);
  }

  void begin_due() {
    while (due_ <= now_.time_s + kSameTime_s) begin(phase_ + 1);
  }

  void arrive(double at) {
    for (std::size_t k = phase_ + 1; k < drive_.phases.size(); ++k)
      if (drive_.phases[k].from_m && std::isnan(reached_s_[k]) && *drive_.phases[k].from_m <= at + kSamePoint_m)
        reached_s_[k] = now_.time_s;
    due_ = due_s(phase_ + 1);
    begin_due();
    while (stop_ < drive_.stops.size() && drive_.stops[stop_].at_m <= at + kSamePoint_m) stand(drive_.stops[stop_++]);
  }

  void stand(const DriveStop& stop) {
    double until = now_.time_s + stop.standing_s;
    while (true) {
      const bool last = phase_ + 1 == drive_.phases.size();
      if (last) until = std::max(until, out_.phases[phase_].begins_s + stop.last_phase_s);
      const bool waits = !last && stop.last_phase_s > 0.0;
      if (due_ <= until || (waits && std::isfinite(due_))) {
        stand_until(std::max(due_, now_.time_s), stop);
        begin_due();
      } else if (waits) {
        throw usage_error("the stop at " + std::to_string(stop.at_m) + " m waits for a phase that begins further on");
      } else {
        return stand_until(until, stop);
      }
    }
  }

  [[nodiscard]] double standing_thrust() const { return set_now().idle; }

  void stand_until(double time_s, const DriveStop& stop) {
    const double dt = time_s - now_.time_s;
    if (!(dt > 0.0)) return;
    const PhaseFlow& phase = flow_now();
    const double flow = phase.standing + stop.moves_per_min / 60.0 * phase.move_kg;
    pass(0.0, dt, flow * dt, 0.0);
    now_.time_s = time_s;
    record(standing_thrust(), 0.0, 0.0);
  }

  // ---- motion

  /// Drives a piece; false where it stalls.
  bool roll(const DrivenWay::Piece& piece) {
    const double each = (piece.to_m - piece.from_m) / piece.steps;
    for (std::uint32_t i = 0; i < piece.steps; ++i) {
      const double to = i + 1 == piece.steps ? piece.to_m : piece.from_m + each * (i + 1);
      do {
        if (!step(to, cap_[piece.first_point + i + 1])) return false;
        begin_due();
      } while (now_.at_m < to);
    }
    return true;
  }

  /// Constant acceleration up to a point whose speed² is capped, or until a phase begins on the way.
  bool step(double to, double cap_u) {
    const DrivenSet& set = set_now();
    const Pace& here = sets_.pace(piece_, flow_now().set);
    double ds = to - now_.at_m;
    if (u_ == 0.0 && !breaks_away(set, here)) return false;

    double most = u_ + 2.0 * ds * (set.limit * here.share - here.force) / mass_;
    bool grip = false;
    if (here.grip < kInfinity && here.share > 0.0 && most > u_) {
      const double per_u = mass_ / (2.0 * ds);
      const double gripped = (here.grip * here.share + per_u * u_ - here.force) / (here.grip_slope * here.share + per_u);
      grip = gripped < most;
      if (grip) most = std::max(u_, gripped);  // the steady need comes first
    }
    double u = std::min(most, u_ + 2.0 * up_ * ds);
    if (u > cap_u) {
      u = turn_to_braking(u, cap_u, ds, to);
    } else if (u == most && (u <= 0.0 || (u <= u_ && u_ < crawl_u_))) {
      return stall(here.need, set.limit, false, grip);
    }
    const double net = here.force + mass_ * (u - u_) / (2.0 * ds);  // what thrust and brakes must make together
    const double idle = set.idle * here.share;
    double thrust = set.idle, brake = 0.0;
    if (net > idle)
      thrust = std::min(net / here.share, set.limit);
    else
      brake = idle - net;

    double speed = std::sqrt(u), dt = 2.0 * ds / (now_.speed_mps + speed);
    double at = to;
    if (now_.time_s + dt > due_ + kSameTime_s) {
      const double a = (u - u_) / (2.0 * ds);
      dt = due_ - now_.time_s;
      ds = dt * (now_.speed_mps + 0.5 * a * dt);
      u = u_ + 2.0 * a * ds;
      speed = now_.speed_mps + a * dt;
      at = now_.at_m + ds;
    }
    if (here.need > set.usable) carry(here.need, set.limit, at, std::min(speed, now_.speed_mps));
    u_ = u;
    now_.at_m = at;
    now_.speed_mps = speed;
    now_.time_s += dt;
    pass(ds, dt, (flow_now().base + set.flow_slope * thrust) * dt, brake * ds);
    record(thrust, here.need, here.grade);
    return true;
  }

  /// Where speeding up would end above the cap: the step is cut to where it meets the limit or the braking ahead, and the
  /// speed² there returned; that at its end where it meets neither inside.
  double turn_to_braking(double u, double cap_u, double& ds, double& to) const {
    const double limit = limit_[piece_];
    const double rise = u_ < limit ? (u - u_) / ds : std::min(0.0, (u - u_) / ds);
    double x = (cap_u + 2.0 * down_ * ds - u_) / (rise + 2.0 * down_);
    if (rise > 0.0) x = std::min(x, (limit - u_) / rise);
    if (!(x > kLeastStep_m && x < ds - kLeastStep_m)) return cap_u;
    ds = x;
    to = now_.at_m + x;
    return u_ + rise * x;
  }

  bool breaks_away(const DrivenSet& set, const Pace& here) {
    const double force = set.places.breakaway_force_n(here.grade, *here.bending);
    const double need = here.share > 0.0 ? force / here.share : kInfinity;
    if (need > set.limit) return stall(need, set.limit, true, false);
    return need <= here.grip || stall(need, set.limit, true, true);
  }

  bool stall(double need, double limit, bool from_rest, bool grip) {
    out_.stalled = Stalled{now_.at_m, now_.time_s, need, limit, from_rest, grip, static_cast<std::uint32_t>(phase_)};
    return false;
  }

  void carry(double need, double limit, double to, double least_mps) {
    const auto phase = static_cast<std::uint32_t>(phase_);
    if (out_.carried.empty() || out_.carried.back().to_m < now_.at_m || out_.carried.back().phase != phase)
      out_.carried.push_back({now_.at_m, to, need, limit, least_mps, phase});
    Carried& last = out_.carried.back();
    last.to_m = to;
    last.needed_n = std::max(last.needed_n, need);
    last.least_mps = std::min(last.least_mps, least_mps);
  }

  /// Adds what a step takes.
  void pass(double way_m, double dt, double fuel_kg, double brake_j) {
    now_.fuel_kg += fuel_kg;
    now_.brake_energy_j += brake_j;
    PhaseRun& phase = out_.phases[phase_];
    phase.time_s += dt;
    phase.fuel_kg += fuel_kg;
    phase.way_m += way_m;
    // The step's own heat is not cooled: the safe side, and little of a step.
    now_.brake_c = ambient_c_ + (now_.brake_c - ambient_c_) * decay(dt / brake_tau_s_) + brake_j / brake_j_k_;
    if (now_.brake_c > out_.brake_most_c) {
      out_.brake_most_c = now_.brake_c;
      watch_brakes();
    }
  }

  void watch_brakes() {
    if (!out_.caution_at_m && out_.brake_most_c >= drive_.brake_caution_c) out_.caution_at_m = now_.at_m;
  }

  void record(double thrust, double need, double grade) {
    const DrivenSet& set = set_now();
    now_.thrust_n = thrust;
    now_.thrust_needed_n = need;
    now_.thrust_available_n = set.limit;
    now_.n1_pct = engine_.n1_for_thrust(thrust * set.inverse_count);
    now_.grade = grade;
    now_.phase = static_cast<std::uint32_t>(phase_);
    out_.samples.push_back(now_);
  }

  const Drive& drive_;
  aircraft::Engine engine_;
  double mass_, up_, down_, crawl_u_, ambient_c_, brake_j_k_, brake_tau_s_;
  DrivenSets sets_;
  DrivenWay way_;
  std::vector<double> limit_;  ///< of speed² on each piece, for every set that may yet drive there
  std::vector<double> cap_;    ///< of speed² at each point
  std::vector<double> earliest_, surely_;
  std::vector<double> reached_s_;  ///< when each phase's place was reached; NaN: not yet

  Simulation out_;
  Sample now_;
  double u_ = 0.0;          ///< speed²
  double due_ = kInfinity;  ///< when the next phase begins, as far as is known
  std::size_t phase_ = 0, piece_ = 0, stop_ = 0;
};

}  // namespace

Simulation simulate(const network::Network& network, const network::Shape& shape, const aircraft::Aircraft& aircraft,
                    const Conditions& conditions, const Drive& drive) {
  return Runner(network, shape, aircraft, conditions, drive).run();
}

}  // namespace solotaxi::motion
