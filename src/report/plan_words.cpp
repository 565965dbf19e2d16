#include "plan_words.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "common.hpp"
#include "sections.hpp"

namespace solotaxi::report {
namespace {

int engines_of(const PlanContext& context) {
  return context.route.aircraft == nullptr ? 2 : context.route.aircraft->engines();
}

}  // namespace

const char* phase_word(planning::Phase phase) {
  switch (phase) {
    case planning::Phase::one:
      return "one";
    case planning::Phase::start:
      return "start";
    case planning::Phase::all:
      return "all";
  }
  return "";
}

std::string other_engines(const std::string& running_set, int engines) {
  if (running_set == "left") return "right";
  if (running_set == "right") return "left";
  std::string others;
  for (int e = 1; e <= engines; ++e)
    if (running_set.find(static_cast<char>('0' + e)) == std::string::npos)
      others += (others.empty() ? "" : ",") + std::to_string(e);
  return others;
}

std::string phase_engines(const planning::PlanPhase& phase, const PlanContext& context) {
  std::string text = named_engines(phase.engines);
  if (text.starts_with("the ")) text.erase(0, 4);
  text.front() = static_cast<char>(std::toupper(static_cast<unsigned char>(text.front())));
  if (phase.phase == planning::Phase::start)
    text += ", starting " + listed_engines(other_engines(phase.engines, engines_of(context)));
  return text;
}

bool one_engine_advised(const planning::Plan& plan) { return plan.advised == "one-engine"; }

const planning::DrivenPlan& advised_plan(const planning::Plan& plan) {
  return one_engine_advised(plan) ? plan.shown : plan.reference;
}

Findings plan_findings(const planning::Plan& plan, const routing::Route& route, const PlanContext& context) {
  Findings all = route_findings(route, context.route);
  all.insert(all.end(), plan.findings.begin(), plan.findings.end());
  return in_order(std::move(all));
}

std::vector<std::string> crew_questions(const planning::Plan& plan, const PlanContext& context) {
  std::vector<std::string> questions;
  for (const auto& [engine, note] : plan.questions)
    questions.push_back(fmt::format("Engine {} off, the operator's note: {} Is it provided for?", engine,
                                    note.empty() || note.ends_with('.') ? note : note + "."));
  for (std::string& question : condition_questions(context.route)) questions.push_back(std::move(question));
  return questions;
}

double apu_fuel_kg(const planning::DrivenPlan& plan, routing::Direction direction, const PlanContext& context) {
  if (context.route.aircraft == nullptr || context.route.conditions == nullptr) return 0.0;
  return planning::apu_fuel_kg(plan, direction, *context.route.aircraft, *context.route.conditions,
                               context.request->apu_lead_s);
}

}  // namespace solotaxi::report
