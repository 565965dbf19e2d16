#include <charconv>
#include <string>

#include "solotaxi/base/error.hpp"
#include "solotaxi/planning/plan.hpp"

namespace solotaxi::planning {
namespace {

constexpr const char* kForms =
    "all-engines=NAME, all-engines=crossings, all-engines=kind:K (taxiway, taxilane, stand_line, runway, connector), "
    "min-one-engine-s=S, may-run-alone=1,2, tight=limit";
constexpr double kLongest_s = 7200.0;

}  // namespace

Rule parse_rule(const std::string& text) {
  using RuleKind = Rule::Kind;
  const auto bad = [&](const std::string& why) { return usage_error("\"" + text + "\" is no rule: " + why, kForms); };
  const std::size_t sign = text.find('=');
  if (sign == std::string::npos || sign + 1 == text.size()) throw bad("a rule is written KEY=VALUE");
  const std::string key = text.substr(0, sign), value = text.substr(sign + 1);
  Rule rule;
  rule.text = text;
  if (key == "all-engines" && value == "crossings") {
    rule.kind = RuleKind::all_engines_at_crossings;
  } else if (key == "all-engines" && value.starts_with("kind:")) {
    rule.kind = RuleKind::all_engines_on_kind;
    using network::LineKind;
    for (const LineKind k :
         {LineKind::taxiway, LineKind::taxilane, LineKind::stand_line, LineKind::runway, LineKind::connector})
      if (value.substr(5) == airfield::to_string(k)) {
        rule.line_kind = k;
        return rule;
      }
    throw bad("there is no kind of line \"" + value.substr(5) + "\"");
  } else if (key == "all-engines") {
    rule.kind = RuleKind::all_engines_at;
    rule.name = value;
  } else if (key == "min-one-engine-s") {
    rule.kind = RuleKind::min_one_engine_s;
    const char* last = value.data() + value.size();
    const auto [end, fault] = std::from_chars(value.data(), last, rule.seconds);
    if (fault != std::errc{} || end != last || !(rule.seconds >= 0.0 && rule.seconds <= kLongest_s))
      throw bad("seconds are a number from 0 to 7200");
  } else if (key == "may-run-alone") {
    rule.kind = RuleKind::may_run_alone;
    rule.set = value;
  } else if (key == "tight" && value == "limit") {
    rule.kind = RuleKind::tight_at_limit;
  } else {
    throw bad("the key or its value is not known");
  }
  return rule;
}

}  // namespace solotaxi::planning
