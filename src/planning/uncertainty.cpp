#include "solotaxi/planning/uncertainty.hpp"

#include <fmt/format.h>
#include <tbb/parallel_for.h>

#include <algorithm>
#include <cmath>
#include <set>

namespace solotaxi::planning {
namespace {

using Values = std::array<double, kTotals>;
constexpr double& get(Values& values, Total which) { return values[static_cast<std::size_t>(which)]; }

/// Draws of one error, by where it is the same.
struct Drawn {
  std::vector<double> all;
  std::map<std::string, std::vector<double>> field, aircraft;
};

/// A group of movements: where its sums stand, and what each draw adds.
struct Group {
  Sums sums{};
  std::vector<Values> moved;  ///< by draw
};

/// What one movement with a plan's figures moves the totals by; and one second of standing.
struct Moved {
  Values queued{}, unqueued{}, stood{};
};

std::string way_of(const PlanKey& key) {
  return fmt::format("{} {} {}", key.field, key.runway, key.departure ? "out" : "in");
}

void set_moved(Values& to, const PlanParts& advised, const PlanParts& reference, const PlanParts& planned,
               const PlanParts& planned_reference, const std::array<double, 3>& g_kg) {
  const auto by = [](const PlanParts& now, const PlanParts& then, Part p) { return get(now, p) - get(then, p); };
  const double engine = by(advised, planned, Part::engine_kg), apu = by(advised, planned, Part::apu_kg);
  const double engine_r = by(reference, planned_reference, Part::engine_kg),
               apu_r = by(reference, planned_reference, Part::apu_kg);
  get(to, Total::time_s) = by(advised, planned, Part::time_s);
  get(to, Total::reference_time_s) = by(reference, planned_reference, Part::time_s);
  get(to, Total::fuel_kg) = engine + apu;
  get(to, Total::reference_fuel_kg) = engine_r + apu_r;
  get(to, Total::saving_kg) = engine_r + apu_r - engine - apu;
  constexpr std::array kAdvised{Total::hc_kg, Total::co_kg, Total::nox_kg};
  constexpr std::array kReference{Total::reference_hc_kg, Total::reference_co_kg, Total::reference_nox_kg};
  for (std::size_t k = 0; k < g_kg.size(); ++k) {
    get(to, kAdvised[k]) = engine * g_kg[k] * 1e-3;
    get(to, kReference[k]) = engine_r * g_kg[k] * 1e-3;
  }
}

/// Standing as the plan ends: its flows, as if they were fuel of a second.
PlanParts standing(const PlanParts& parts) {
  return {0.0, get(parts, Part::standing_engine_kg_s), get(parts, Part::standing_apu_kg_s), 0.0, 0.0};
}

Moved moved_by(const PlanCount& plan, const Errors& errors) {
  const PlanParts planned = plan.figures.advised.parts(), planned_r = plan.figures.reference.parts();
  const bool as_reference = plan.figures.one && stalls(plan.stalls_at, errors);
  const auto advised_with = [&](const PlanParts& reference, bool queued) {
    return as_reference ? reference : with_errors(planned, plan.advised, errors, queued);
  };
  Moved out;
  const PlanParts reference = with_errors(planned_r, plan.reference, errors, false),
                  advised = advised_with(reference, false);
  set_moved(out.unqueued, advised, reference, planned, planned_r, plan.index_g_kg);
  const PlanParts reference_q = with_errors(planned_r, plan.reference, errors, true);
  set_moved(out.queued, advised_with(reference_q, true), reference_q, planned, planned_r, plan.index_g_kg);
  set_moved(out.stood, standing(advised), standing(reference), standing(planned), standing(planned_r), plan.index_g_kg);
  return out;
}

void add(Values& to, const Moved& moved, const PlanWeight& weight) {
  const double queued = static_cast<double>(weight.queued) / kWhole,
               unqueued = static_cast<double>(weight.unqueued) / kWhole;
  const double stood_s = 1e-3 * static_cast<double>(weight.stood_ms);
  for (std::size_t k = 0; k < kTotals; ++k)
    to[k] += queued * moved.queued[k] + unqueued * moved.unqueued[k] + stood_s * moved.stood[k];
}

Values values_of(const Sums& s) {
  const auto kilo = [&](Sum which) { return 1e-6 * static_cast<double>(get(s, which)); };
  const auto seconds = [&](Sum which) { return 1e-3 * static_cast<double>(get(s, which)); };
  return {seconds(Sum::time_ms),
          seconds(Sum::reference_time_ms),
          kilo(Sum::fuel_mg),
          kilo(Sum::reference_fuel_mg),
          1e-6 * static_cast<double>(get(s, Sum::reference_fuel_mg) - get(s, Sum::fuel_mg)),
          kilo(Sum::hc_mg),
          kilo(Sum::co_mg),
          kilo(Sum::nox_mg),
          kilo(Sum::reference_hc_mg),
          kilo(Sum::reference_co_mg),
          kilo(Sum::reference_nox_mg)};
}

/// Between the draws next to it.
double quantile(const std::vector<double>& sorted, double share) {
  const double at = share * static_cast<double>(sorted.size() - 1);
  const auto low = static_cast<std::size_t>(at);
  const std::size_t high = std::min(low + 1, sorted.size() - 1);
  return sorted[low] + (at - static_cast<double>(low)) * (sorted[high] - sorted[low]);
}

Interval interval_of(std::vector<double> draws) {
  std::sort(draws.begin(), draws.end());
  return {quantile(draws, 0.05), quantile(draws, 0.5), quantile(draws, 0.95)};
}

Intervals intervals_of(const Group& group) {
  const Values from = values_of(group.sums);
  Intervals out;
  std::vector<double> draws(group.moved.size());
  for (std::size_t k = 0; k < kTotals; ++k) {
    for (std::size_t d = 0; d < draws.size(); ++d) draws[d] = from[k] + group.moved[d][k];
    out[k] = interval_of(draws);
  }
  return out;
}

class Evaluation {
 public:
  Evaluation(const EstimateTotals& totals, const Spreads& spreads, std::size_t draws, std::uint64_t seed)
      : totals_(totals), spreads_(spreads), draws_(draws) {
    draw(seed);
    whole_ = {planning::whole(totals), std::vector<Values>(draws)};
    for (const GroupBy by : {GroupBy::field, GroupBy::aircraft, GroupBy::hour, GroupBy::month})
      for (const auto& [name, sums] : grouped(totals, by)) groups_[by][name] = {sums, std::vector<Values>(draws)};
    alone_.assign(kUncertain, std::vector<Values>(draws));
    for (const auto& [key, plan] : totals.plans) add_plan(key, plan);
  }

  Uncertainty run(std::uint64_t seed) {
    tbb::parallel_for(std::size_t{0}, draws_, [&](std::size_t d) { evaluate(d); });
    Uncertainty out;
    out.draws = draws_;
    out.seed = seed;
    out.spreads = spreads_;
    out.whole = intervals_of(whole_);
    for (const auto& [by, groups] : groups_)
      for (const auto& [name, group] : groups) out.groups[by][name] = intervals_of(group);
    for (const UncertainKey& key : uncertain_keys()) {
      const Intervals alone = intervals_of({whole_.sums, alone_[index(key.what)]});
      out.effects.push_back({key.what, planning::get(alone, Total::saving_kg), planning::get(alone, Total::fuel_kg)});
    }
    std::stable_sort(out.effects.begin(), out.effects.end(), [](const Effect& a, const Effect& b) {
      return a.saving_kg.p95 - a.saving_kg.p5 > b.saving_kg.p95 - b.saving_kg.p5;
    });
    return out;
  }

 private:
  /// A plan with what it adds to.
  struct Part {
    const PlanCount* plan = nullptr;
    std::array<std::array<const std::vector<double>*, 3>, kUncertain> errors{};
    PlanWeight weight;
    Group *field = nullptr, *aircraft = nullptr;
    std::vector<std::pair<Group*, PlanWeight>> times;  ///< hours and months
  };

  void draw(std::uint64_t seed) {
    for (const UncertainKey& key : uncertain_keys()) {
      const std::string name = key.key;
      Drawn& drawn = drawn_[index(key.what)];
      drawn.all = normal_draws(seed, name, draws_);
      for (const auto& [plan, unused] : totals_.plans) {
        const std::string& field = field_of(key.what, plan);
        if (!drawn.field.contains(field)) drawn.field[field] = normal_draws(seed, name + " field " + field, draws_);
        if (!drawn.aircraft.contains(plan.aircraft))
          drawn.aircraft[plan.aircraft] = normal_draws(seed, name + " aircraft " + plan.aircraft, draws_);
      }
    }
  }
  /// What has an error of its own "by field"; of grades it is a way to or from a runway end.
  [[nodiscard]] const std::string& field_of(Uncertain what, const PlanKey& key) {
    if (what != Uncertain::grade) return key.field;
    return *ways_.insert(way_of(key)).first;
  }

  void add_plan(const PlanKey& key, const PlanCount& plan) {
    Part part;
    part.plan = &plan;
    for (std::size_t u = 0; u < kUncertain; ++u) {
      const Drawn& drawn = drawn_[u];
      part.errors[u] = {&drawn.all, &drawn.field.at(field_of(static_cast<Uncertain>(u), key)),
                        &drawn.aircraft.at(key.aircraft)};
    }
    part.field = &groups_[GroupBy::field].at(key.field);
    part.aircraft = &groups_[GroupBy::aircraft].at(key.aircraft);
    std::map<Group*, PlanWeight> times;
    for (const auto& [time, weight] : plan.by_time) {
      planning::add(part.weight, weight);
      planning::add(times[&groups_[GroupBy::hour].at(hour_name(time.first))], weight);
      planning::add(times[&groups_[GroupBy::month].at(month_name(time.second))], weight);
    }
    part.times.assign(times.begin(), times.end());
    parts_.push_back(std::move(part));
  }

  void evaluate(std::size_t d) {
    for (const Part& part : parts_) {
      Errors errors{};
      for (std::size_t u = 0; u < kUncertain; ++u) {
        const auto& [all, field, aircraft] = part.errors[u];
        errors[u] = spreads_[u].all * (*all)[d] + spreads_[u].field * (*field)[d] + spreads_[u].aircraft * (*aircraft)[d];
      }
      const Moved moved = moved_by(*part.plan, errors);
      add(whole_.moved[d], moved, part.weight);
      add(part.field->moved[d], moved, part.weight);
      add(part.aircraft->moved[d], moved, part.weight);
      for (const auto& [group, weight] : part.times) add(group->moved[d], moved, weight);
      for (std::size_t u = 0; u < kUncertain; ++u) {
        if (errors[u] == 0.0) continue;
        Errors alone{};
        alone[u] = errors[u];
        add(alone_[u][d], moved_by(*part.plan, alone), part.weight);
      }
    }
  }

  const EstimateTotals& totals_;
  const Spreads& spreads_;
  std::size_t draws_;
  std::array<Drawn, kUncertain> drawn_;
  std::set<std::string> ways_;
  Group whole_;
  std::map<GroupBy, std::map<std::string, Group>> groups_;
  std::vector<std::vector<Values>> alone_;  ///< by what is uncertain, by draw
  std::vector<Part> parts_;
};

}  // namespace

Uncertainty uncertainty_of(const EstimateTotals& totals, const Spreads& spreads, std::size_t draws, std::uint64_t seed) {
  return Evaluation(totals, spreads, draws, seed).run(seed);
}

}  // namespace solotaxi::planning
