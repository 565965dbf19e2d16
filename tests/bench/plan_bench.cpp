#include "bench/plan_bench.hpp"

#include <benchmark/benchmark.h>

#include <algorithm>
#include <memory>
#include <random>
#include <stdexcept>
#include <utility>

#include "bench/measure.hpp"
#include "planning/solver.hpp"
#include "support/random_network.hpp"

namespace solotaxi::bench {
namespace {

using namespace planning;

constexpr std::size_t kQuestions = 32;
constexpr double kPart_m = 100.0;

/// One departure asked, with every part of its answer at hand.
struct Asked {
  PlanRequest request;
  routing::Question question;
  std::unique_ptr<motion::CostTable> all;
  std::vector<std::unique_ptr<motion::CostTable>> one;
  routing::Attempt every;
  Barred barred;
  std::vector<std::unique_ptr<PhaseField>> fields;
  PlannedWays best;
  std::size_t best_of = 0;
};

struct Setup {
  const Field* field;
  aircraft::Aircraft aircraft;
  motion::Conditions conditions;
  routing::PartedNetwork parted;
  std::vector<std::unique_ptr<Asked>> asked;

  explicit Setup(const Field& f) : field(&f), parted(routing::network_in_parts(f.net, kPart_m)) {
    conditions.unknown_grade_sigmas = 0.0;  // level where nothing is known: else no plan has one engine at all
    std::mt19937_64 random(1);
    const auto pick = [&](std::size_t n) {
      return static_cast<std::size_t>(test::random_int(random, 0, static_cast<std::int64_t>(n) - 1));
    };
    for (int tries = 0; asked.size() < kQuestions && tries < 2000; ++tries) {
      const auto& stand = f.net.stands[pick(f.net.stands.size())];
      const auto& runway = f.net.runways[pick(f.net.runways.size())];
      auto a = std::make_unique<Asked>();
      a->request.route.from = routing::parse_place("node:" + std::to_string(network::index(stand.node)));
      a->request.route.to = routing::parse_place("runway:" + runway.designators[pick(2)]);
      a->request.route.objective = routing::Objective::fuel;
      a->request.route.direction = routing::Direction::departure;
      if (prepare(*a)) asked.push_back(std::move(a));
    }
    if (asked.empty()) throw std::runtime_error("no plan on one engine on " + f.name);
  }

  [[nodiscard]] std::unique_ptr<motion::CostTable> table(const Asked& a, aircraft::RunningSet set) const {
    return std::make_unique<motion::CostTable>(parted.network, a.question.shape, aircraft, set, conditions);
  }
  void make_tables(Asked& a) const {
    a.all = table(a, aircraft::all_engines(aircraft));
    a.one.clear();
    for (const auto set : aircraft::sets_to_try(aircraft)) a.one.push_back(table(a, set));
  }
  void make_fields(Asked& a) const {
    a.fields.clear();
    for (const auto& one : a.one)
      a.fields.push_back(std::make_unique<PhaseField>(a.question, a.every, *one, *a.all, a.barred, a.request));
  }
  static std::vector<PlannedWays> search(const Asked& a) {
    std::vector<PlannedWays> out;
    for (const auto& field : a.fields) out.push_back(field->plan(0.0));
    return out;
  }
  std::pair<DrivenPlan, DrivenPlan> drive(const Asked& a) const {
    const PhaseField& on = *a.fields[a.best_of];
    return {drive_plan(a.question, on, *a.best.with_one, 0.0, a.request),
            drive_plan(a.question, on, *a.best.reference, 0.0, a.request)};
  }

 private:
  bool prepare(Asked& a) const {
    a.question = routing::make_question(parted.network, aircraft, conditions, a.request.route);
    make_tables(a);
    const auto every = routing::on_every_engine(a.question, *a.all, true);
    if (!every) return false;
    a.every = every->attempt;
    a.barred.arc.assign(parted.network.arc_count(), 0);
    make_fields(a);
    const auto found = search(a);
    for (std::size_t i = 0; i < found.size(); ++i)
      if (found[i].with_one && (!a.best.with_one || found[i].with_one->cost_kg < a.best.with_one->cost_kg)) {
        a.best = found[i];
        a.best_of = i;
      }
    return a.best.with_one && a.best.reference;
  }
};

template <class Ask>
void add(const std::string& name, const std::shared_ptr<Setup>& setup, Ask ask) {
  benchmark::RegisterBenchmark(("plan/" + setup->field->name + "/" + name).c_str(),
                               [setup, ask](benchmark::State& state) {
                                 measure_each(state, setup->asked.size(),
                                              [&](std::size_t i) { return ask(*setup, *setup->asked[i]); });
                               })
      ->UseManualTime()
      ->Unit(benchmark::kMicrosecond);
}

}  // namespace

void add_plan_benchmarks(const Field& field) {
  const auto setup = std::make_shared<Setup>(field);
  add("parts_and_question", setup, [](const Setup& s, const Asked& a) {
    const auto parted = routing::network_in_parts(s.field->net, kPart_m);
    return routing::make_question(parted.network, s.aircraft, s.conditions, a.request.route).net;
  });
  add("cost_tables", setup, [](const Setup& s, const Asked& a) {
    std::vector<std::unique_ptr<motion::CostTable>> made;
    made.push_back(s.table(a, aircraft::all_engines(s.aircraft)));
    for (const auto set : aircraft::sets_to_try(s.aircraft)) made.push_back(s.table(a, set));
    return made.size();
  });
  add("every_engine", setup,
      [](const Setup&, const Asked& a) { return routing::on_every_engine(a.question, *a.all, true).has_value(); });
  add("phase_fields", setup, [](const Setup& s, Asked& a) {
    s.make_fields(a);
    return a.fields.size();
  });
  add("searches", setup, [](const Setup&, const Asked& a) { return Setup::search(a).size(); });
  add("drives", setup, [](const Setup& s, const Asked& a) { return s.drive(a).first.route.fuel_kg; });
  add("core", setup, [](const Setup& s, Asked& a) {
    s.make_tables(a);
    a.every = routing::on_every_engine(a.question, *a.all, true)->attempt;
    s.make_fields(a);
    return Setup::search(a).size() + s.drive(a).second.phases.size();
  });
  add("solve", setup, [](const Setup& s, const Asked& a) {
    Solver solver(s.parted.network, s.aircraft, s.conditions, a.request);
    return solver.solve(0.0).reference_kg;
  });
  add("make_plan", setup, [](const Setup& s, const Asked& a) {
    return std::get<Plan>(make_plan(s.field->net, s.aircraft, s.conditions, a.request)).saving_kg;
  });
}

}  // namespace solotaxi::bench
