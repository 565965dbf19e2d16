#include "routing/assigned_rules.hpp"

#include <algorithm>

#include "routing/spelling.hpp"
#include "solotaxi/base/error.hpp"

namespace solotaxi::routing {
namespace {

std::vector<std::string> parts_of(const std::string& name) {
  std::vector<std::string> out;
  for (std::size_t begin = 0; begin <= name.size();) {
    const std::size_t end = std::min(name.find(';', begin), name.size());
    std::string part = folded(std::string_view(name).substr(begin, end - begin));
    if (!part.empty()) out.push_back(std::move(part));
    begin = end + 1;
  }
  return out;
}

bool any_of_lines(const std::vector<LineId>& a, const std::vector<LineId>& b) {
  return std::any_of(a.begin(), a.end(), [&](LineId x) { return std::find(b.begin(), b.end(), x) != b.end(); });
}

std::vector<std::uint8_t> widened(const Network& net, std::vector<std::uint8_t> on) {
  std::vector<LocalXY> places;
  for (std::size_t n = 0; n < net.nodes.size(); ++n)
    if (on[n]) places.push_back(net.nodes[n].xy);
  for (std::size_t n = 0; n < net.nodes.size(); ++n)
    on[n] = std::any_of(places.begin(), places.end(),
                        [&](LocalXY p) { return distance_m(net.nodes[n].xy, p) <= kJunctionReach_m; });
  return on;
}

void bind(Rules& rules, const ClearanceBinding& binding, std::size_t number) {
  const Network& net = *rules.q->net;
  const auto bit = static_cast<Mask>(1U << number);
  rules.all |= bit;
  std::vector<std::uint8_t> on(net.nodes.size(), 0);
  std::vector<LineId> wanted;
  int runway = -1;
  switch (binding.kind) {
    case ClearanceBinding::Kind::cross_runway:
    case ClearanceBinding::Kind::hold_short_of_runway:
      runway = runway_named(net, binding.at.name);
      on = nodes_of_runway(net, runway);
      break;
    case ClearanceBinding::Kind::hold_short_of_taxiway:
      wanted = rules.lines->find(binding.at.spellings);
      on = nodes_of_lines(net, *rules.lines, wanted);
      break;
    case ClearanceBinding::Kind::hold_short_of_hold:
      for (const std::size_t h : holds_named(net, binding.at.spellings)) on[index(net.holding_points[h].node)] = 1;
      break;
  }
  if (binding.kind == ClearanceBinding::Kind::cross_runway) {
    for (std::size_t n = 0; n < net.nodes.size(); ++n)
      if (on[n]) rules.pass[n] |= bit;
    return;
  }
  for (std::uint32_t a = 0; a < net.arc_count(); ++a) {
    const ArcId arc{a};
    const bool of_it = (runway >= 0 && net.segment(arc).runway == runway) ||
                       any_of_lines(rules.lines->of(network::segment_of(arc)), wanted);
    if (on[index(net.head(arc))] && !of_it) rules.reach[a] |= bit;
  }
}

/// Hold short of the runway or holding point at which the way ends is that end, not a place on the way.
bool is_own_end(const Question& q, const Clearance& clearance, const ClearanceBinding& binding) {
  using Kind = ClearanceBinding::Kind;
  const bool ends_short =
      clearance.end.kind == ClearanceEnd::Kind::hold || clearance.end.kind == ClearanceEnd::Kind::runway_hold;
  if (!ends_short) return false;
  if (binding.kind == Kind::hold_short_of_hold) return binding.at == clearance.end.at;
  if (binding.kind != Kind::hold_short_of_runway) return false;
  const int runway = runway_named(*q.net, binding.at.name);
  if (!clearance.end.runway.empty() && runway_named(*q.net, clearance.end.runway) == runway) return true;
  return q.to.hold >= 0 && q.net->holding_points[static_cast<std::size_t>(q.to.hold)].runway == runway;
}

}  // namespace

Lines::Lines(const Network& net) {
  of_segment_.resize(net.segments.size());
  for (std::size_t s = 0; s < net.segments.size(); ++s) {
    const auto& segment = net.segments[s];
    if (segment.kind != LineKind::taxiway && segment.kind != LineKind::taxilane) continue;
    for (const std::string& part : parts_of(segment.name)) {
      const auto [it, fresh] = number_.try_emplace(part, static_cast<LineId>(names_.size()));
      if (fresh) {  // as it is spelled, not folded
        const auto& name = segment.name;
        const auto at = folded(name).find(part);
        names_.push_back(at == std::string::npos ? part : name.substr(name.find_first_not_of(" \t\r\n") + at, part.size()));
      }
      of_segment_[s].push_back(it->second);
    }
    if (names_.size() >= static_cast<std::size_t>(kRunwayLine))
      throw data_error("the map has more taxiway names than a clearance can be matched to", {}, "split it by aerodrome");
    std::sort(of_segment_[s].begin(), of_segment_[s].end());
    of_segment_[s].erase(std::unique(of_segment_[s].begin(), of_segment_[s].end()), of_segment_[s].end());
  }
}

std::vector<LineId> Lines::find(const std::vector<std::string>& names) const {
  std::vector<LineId> out;
  for (const std::string& name : names)
    if (const auto it = number_.find(folded(name)); it != number_.end()) out.push_back(it->second);
  std::sort(out.begin(), out.end());
  out.erase(std::unique(out.begin(), out.end()), out.end());
  return out;
}

int runway_named(const Network& net, const std::string& name) {
  for (std::size_t r = 0; r < net.runways.size(); ++r)
    for (const std::string& d : net.runways[r].designators)
      if (!d.empty() && designator(d) == designator(name)) return static_cast<int>(r);
  return -1;
}

std::vector<std::uint8_t> nodes_of_runway(const Network& net, int runway) {
  std::vector<std::uint8_t> on(net.nodes.size(), 0);
  for (const auto& s : net.segments)
    if (runway >= 0 && s.runway == runway) on[index(s.from)] = on[index(s.to)] = 1;
  return on;
}

std::vector<std::uint8_t> nodes_of_lines(const Network& net, const Lines& lines, const std::vector<LineId>& wanted) {
  std::vector<std::uint8_t> on(net.nodes.size(), 0);
  for (std::uint32_t s = 0; s < net.segments.size(); ++s)
    if (any_of_lines(lines.of(network::SegmentId{s}), wanted))
      on[index(net.segments[s].from)] = on[index(net.segments[s].to)] = 1;
  return on;
}

std::vector<std::string> taxiways_at(const Network& net, NodeId node) {
  std::vector<std::string> out;
  for (const auto& s : net.segments) {
    if ((s.from != node && s.to != node) || s.name.empty()) continue;
    if (s.kind != LineKind::taxiway && s.kind != LineKind::taxilane) continue;
    for (const std::string& part : parts_of(s.name))
      if (std::find(out.begin(), out.end(), part) == out.end()) out.push_back(part);
  }
  return out;
}

std::vector<std::size_t> holds_named(const Network& net, const std::vector<std::string>& names) {
  std::vector<std::size_t> out;
  const auto wanted = [&](const std::string& ref) {
    return std::any_of(names.begin(), names.end(), [&](const std::string& name) { return names_match(ref, name); });
  };
  for (std::size_t h = 0; h < net.holding_points.size(); ++h)
    if (wanted(net.holding_points[h].ref)) out.push_back(h);
  if (!out.empty()) return out;
  for (std::size_t h = 0; h < net.holding_points.size(); ++h) {
    if (!net.holding_points[h].ref.empty()) continue;
    const auto at = taxiways_at(net, net.holding_points[h].node);
    if (std::any_of(at.begin(), at.end(), wanted)) out.push_back(h);
  }
  return out;
}

Rules make_rules(const Question& q, const Lines& lines, const Clearance& clearance,
                 const std::vector<std::string>& end_names) {
  const Network& net = *q.net;
  Rules rules;
  rules.q = &q;
  rules.lines = &lines;
  for (const ClearanceItem& item : clearance.items) {
    RuleItem r{item.kind, {}, item.side, {}};
    if (item.kind == ClearanceItem::Kind::runway)
      r.lines = {kRunwayLine + runway_named(net, item.at.name)};
    else
      r.lines = lines.find(item.at.spellings);
    if (item.kind == ClearanceItem::Kind::turn) r.near = widened(net, nodes_of_lines(net, lines, r.lines));
    rules.items.push_back(std::move(r));
  }
  rules.reach.assign(net.arc_count(), 0);
  rules.pass.assign(net.nodes.size(), 0);
  for (std::size_t b = 0; b < clearance.bindings.size(); ++b) {
    bind(rules, clearance.bindings[b], b);
    // A runway crossed on the way to its own holding position is held short of there too, but need not be.
    if (is_own_end(q, clearance, clearance.bindings[b])) rules.all &= static_cast<Mask>(~(1U << b));
  }
  if (clearance.backtrack) {
    if (!clearance.backtrack_runway.empty()) rules.backtrack_runway = runway_named(net, clearance.backtrack_runway);
    rules.start = rules.backtrack_runway < 0 ? kBacktrackAny : kBacktrackGiven;
  }
  rules.start_taxilanes = q.from.runway < 0;
  rules.end_taxilanes = q.to.runway < 0 && q.to.hold < 0;
  rules.end_lines = lines.find(end_names);
  return rules;
}

}  // namespace solotaxi::routing
