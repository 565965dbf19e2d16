// Lines drawn into a field's map for a screen of what would be.
#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "routing/assemble.hpp"
#include "solotaxi/base/error.hpp"
#include "solotaxi/planning/screen.hpp"

namespace solotaxi::planning {

using network::Network;
using network::NodeId;
using network::Segment;

namespace {

/// Before and after are told pair by pair.
void check_places(const Network& network, const Network& changed) {
  const auto same_id = [](const auto& a, const auto& b) { return a.id == b.id; };
  const auto &s = network.stands, &t = changed.stands;
  const auto &r = network.runways, &q = changed.runways;
  if (!std::equal(s.begin(), s.end(), t.begin(), t.end(), same_id))
    throw data_error("the new lines change which stands the field has, so before and after cannot be compared", {},
                     "draw them where no stand is made of them");
  if (!std::equal(r.begin(), r.end(), q.begin(), q.end(),
                  [&](const auto& a, const auto& b) { return same_id(a, b) && a.designators == b.designators; }))
    throw data_error("the new lines change which runways the field has, so before and after cannot be compared");
}

}  // namespace

Findings check_new_lines(const Network& network, const Network& changed, const std::vector<std::string>& ids) {
  check_places(network, changed);
  const std::set<std::string> added(ids.begin(), ids.end());
  std::vector<std::size_t> joined(changed.nodes.size(), 0);
  std::set<std::uint32_t> mapped;  // parts of the network that hold a line of the map
  for (const Segment& s : changed.segments) {
    for (const NodeId n : {s.from, s.to}) ++joined[index(n)];
    if (!added.contains(s.source_id)) mapped.insert(changed.component[index(s.from)]);
  }
  Findings out;
  for (const std::string& id : ids) {
    bool there = false;
    for (const Segment& s : changed.segments) {
      if (s.source_id != id) continue;
      there = true;
      if (!mapped.contains(changed.component[index(s.from)]))
        throw data_error("the new line meets no line of the map", {{}, {}, s.name.empty() ? id : s.name + " (" + id + ")"},
                         "let it begin, end or cross on a taxiway: ends nearer than --snap are joined");
      for (const NodeId n : {s.from, s.to}) {
        if (joined[index(n)] != 1) continue;
        out.push_back(
            routing::finding_at(changed, n, "new-line-loose-end", Severity::caution,
                                fmt::format("an end of the new line{}{} meets no other; nothing leads on from there",
                                            s.name.empty() ? "" : " ", s.name)));
        out.back().where.id = id;
      }
    }
    if (!there)
      throw data_error("the new line is not in the network", {{}, {}, id},
                       "it repeats a line of the map, has no length, or lies too far from the aerodrome");
  }
  return out;
}

}  // namespace solotaxi::planning
