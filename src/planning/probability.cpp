#include <algorithm>
#include <cmath>
#include <map>
#include <random>

#include "planning/drive_plan.hpp"

namespace solotaxi::planning {
namespace {

constexpr double kGravity = 9.80665;
constexpr int kDraws = 2000;  // the probability is right to 1 %

/// The hardest moment on one interval of a profile.
struct Hardest {
  double grade = 0.0, sd = 0.0, factor = 1.0, needed_n = -1e30, available_n = 0.0;
  double breakaway = 1.0;  ///< on rolling resistance: starting from rest takes more
  bool unknown = false;
};

/// The interval of a segment's profile at a chainage along its drawing.
std::size_t interval_at(const network::Segment& s, double at_m) {
  std::size_t i = 1;
  while (i + 1 < s.profile.size() && s.profile[i].at_m < at_m) ++i;
  return i - 1;
}

}  // namespace

double probability_of(const routing::Question& q, const PhaseField& field, const DrivenPlan& plan, std::uint64_t seed) {
  const motion::Places& places = field.one().places();
  const motion::Conditions& c = *q.conditions;
  const double weight_n = places.mass_kg() * kGravity;
  std::map<std::pair<std::size_t, std::size_t>, Hardest> hardest;  // by arc of the way and interval of its profile
  for (std::size_t k = 0; k < plan.sim.samples.size(); ++k) {
    const motion::Sample& s = plan.sim.samples[k];
    if (s.phase >= plan.phases.size() || plan.phases[s.phase].phase == Phase::all || s.speed_mps <= 0.0) continue;
    const std::size_t i = plan.sim.arc_index(s.at_m);
    const network::ArcId a = plan.route.arcs[i];
    const auto& segment = q.net->segment(a);
    const double along_m = std::clamp(s.at_m - plan.sim.arc_from_m[i], 0.0, segment.length_m);
    const std::size_t interval = interval_at(segment, network::is_along(a) ? along_m : segment.length_m - along_m);
    const double sd = segment.grade_sd.empty() ? 0.0 : segment.grade_sd[interval];
    const bool unknown = !std::isfinite(segment.profile[interval].height_m + segment.profile[interval + 1].height_m);
    Hardest& here = hardest[{i, interval}];
    const double force_n = weight_n * (c.mu_rolling + s.grade);
    const double factor = force_n > 0.0 ? s.thrust_needed_n / force_n : 1.0;
    const bool from_rest = k > 0 && plan.sim.samples[k - 1].speed_mps <= 0.0;
    const double breakaway = from_rest ? c.breakaway_factor : 1.0;
    const double needed_n = from_rest ? factor * weight_n * (breakaway * c.mu_rolling + s.grade) : s.thrust_needed_n;
    if (needed_n <= here.needed_n) continue;
    here = {s.grade, sd, factor, needed_n, s.thrust_available_n, breakaway, unknown};
  }
  if (hardest.empty()) return 1.0;
  std::mt19937_64 random(seed);
  std::normal_distribution<double> normal;
  int holds = 0;
  for (int draw = 0; draw < kDraws; ++draw) {
    const double mass = 1.0 + c.sigma_mass_share * normal(random), mu = c.mu_rolling + c.sigma_mu * normal(random);
    const double thrust = 1.0 + c.sigma_thrust_share * normal(random);
    // The error of a grade is one over an arc, which is 100 m at most; what is not known at all is so everywhere alike.
    const double ignorance = normal(random);
    double error = 0.0;
    std::size_t arc = ~std::size_t{0};
    bool all = true;
    for (const auto& [key, s] : hardest) {
      if (key.first != arc) error = normal(random);
      arc = key.first;
      const double grade = s.grade + s.sd * (s.unknown ? ignorance : error);
      all = all && s.factor * weight_n * mass * (s.breakaway * mu + grade) <= s.available_n * thrust;
    }
    holds += all;
  }
  return static_cast<double>(holds) / kDraws;
}

}  // namespace solotaxi::planning
