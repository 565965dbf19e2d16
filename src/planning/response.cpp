#include "solotaxi/planning/response.hpp"

namespace solotaxi::planning {

Curve curve_through(double low, const PlanParts& at_low, double high, const PlanParts& at_high) {
  Curve out;
  for (std::size_t p = 0; p < kParts; ++p) {
    const double a = at_low[p] / low, b = at_high[p] / high;
    out.bend[p] = (b - a) / (high - low);
    out.slope[p] = a - out.bend[p] * low;
  }
  return out;
}

bool stalls(const Errors& stalls_at, const Errors& errors) {
  double share = 0.0;
  for (std::size_t u = 0; u < kUncertain; ++u)
    if (stalls_at[u] != 0.0) share += errors[u] / stalls_at[u];
  return share >= 1.0;
}

PlanParts with_errors(const PlanParts& planned, const Response& response, const Errors& errors, bool queued) {
  PlanParts out = planned;
  for (std::size_t u = 0; u < kUncertain; ++u) {
    const double x = errors[u];
    if (x == 0.0 || (u == index(Uncertain::queue) && !queued)) continue;
    const Curve& curve = response.curves[u];
    for (std::size_t p = 0; p < kParts; ++p) out[p] += x * (curve.slope[p] + x * curve.bend[p]);
  }
  const double product = errors[index(Uncertain::rolling_resistance)] * errors[index(Uncertain::idle_thrust)];
  if (product != 0.0)
    for (std::size_t p = 0; p < kParts; ++p) out[p] += product * response.product[p];
  const double engines = 1.0 + errors[index(Uncertain::fuel_flow)], apu = 1.0 + errors[index(Uncertain::apu_flow)];
  for (const Part part : {Part::engine_kg, Part::standing_engine_kg_s}) out[static_cast<std::size_t>(part)] *= engines;
  for (const Part part : {Part::apu_kg, Part::standing_apu_kg_s}) out[static_cast<std::size_t>(part)] *= apu;
  return out;
}

}  // namespace solotaxi::planning
