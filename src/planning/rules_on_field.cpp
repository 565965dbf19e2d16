#include "planning/rules_on_field.hpp"

#include <algorithm>

#include "solotaxi/base/error.hpp"

namespace solotaxi::planning {

using network::ArcId;

motion::Conditions with_rules(motion::Conditions c, const PlanRequest& request) {
  for (const Rule& r : request.rules)
    if (r.kind == Rule::Kind::tight_at_limit) c.tight_at_limit = true;
  return c;
}

std::vector<aircraft::RunningSet> sets_of(const aircraft::Aircraft& aircraft, const PlanRequest& request) {
  std::vector<aircraft::RunningSet> out;
  for (const Rule& r : request.rules)
    if (r.kind == Rule::Kind::may_run_alone) out.push_back(aircraft::parse_running_set(aircraft, r.set));
  if (out.empty()) out = request.sets.empty() ? aircraft::sets_to_try(aircraft) : request.sets;
  if (!request.sets.empty())
    std::erase_if(out, [&](const auto& set) {
      return std::find(request.sets.begin(), request.sets.end(), set) == request.sets.end();
    });
  std::erase(out, aircraft::all_engines(aircraft));
  return out;
}

Barred barred_by_rules(const routing::Question& q, const std::vector<Rule>& rules) {
  const network::Network& net = *q.net;
  Barred out;
  out.arc.assign(net.arc_count(), 0);
  for (const Rule& r : rules) {
    if (r.kind == Rule::Kind::all_engines_at_crossings) {
      out.crossings = true;
      for (std::uint32_t a = 0; a < net.arc_count(); ++a)
        if (q.crosses[a] && q.is_runway(ArcId{a})) out.arc[a] = 1;
    } else if (r.kind == Rule::Kind::all_engines_on_kind) {
      for (std::uint32_t a = 0; a < net.arc_count(); ++a)
        if (net.segment(ArcId{a}).kind == r.line_kind) out.arc[a] = 1;
    } else if (r.kind == Rule::Kind::all_engines_at) {
      const auto arcs = routing::arcs_named(net, r.name);
      if (arcs.empty())
        throw usage_error("the rule \"" + r.text + "\" names nothing on this field",
                          "name a taxiway, runway, map id or node:N");
      for (const ArcId a : arcs) out.arc[index(a)] = 1;
    }
  }
  return out;
}

}  // namespace solotaxi::planning
