#include "solotaxi/routing/clearance.hpp"

#include <algorithm>
#include <set>

namespace solotaxi::routing {
namespace {

using network::LineKind;

void add_parts(std::set<std::string>& names, const std::string& text) {
  for (std::size_t begin = 0; begin <= text.size();) {
    const std::size_t end = std::min(text.find(';', begin), text.size());
    std::string part = text.substr(begin, end - begin);
    part.erase(0, part.find_first_not_of(' '));
    part.erase(part.find_last_not_of(' ') + 1);
    if (!part.empty()) names.insert(part);
    begin = end + 1;
  }
}

std::vector<std::string> listed_once(const std::set<std::string>& names) { return {names.begin(), names.end()}; }

std::string with_id(const std::string& name, const std::string& id) { return id.empty() ? name : name + "#" + id; }

std::string text_of(const ClearanceItem& item) {
  switch (item.kind) {
    case ClearanceItem::Kind::taxiway:
      return item.at.name;
    case ClearanceItem::Kind::runway:
      return "along runway " + item.at.name;
    case ClearanceItem::Kind::turn:
      return std::string(to_string(item.side)) + " at " + item.at.name;
  }
  return "";
}

std::string text_of(const ClearanceBinding& binding) {
  const std::string by = binding.by ? " at " + binding.by->name : "";
  switch (binding.kind) {
    case ClearanceBinding::Kind::hold_short_of_runway:
      return "hold short of runway " + binding.at.name + by;
    case ClearanceBinding::Kind::hold_short_of_taxiway:
      return "hold short of " + binding.at.name;
    case ClearanceBinding::Kind::hold_short_of_hold:
      return "hold short of holding point " + binding.at.name;
    case ClearanceBinding::Kind::cross_runway:
      return "cross runway " + binding.at.name + by;
  }
  return "";
}

std::string text_of(const ClearanceEnd& end) {
  using Kind = ClearanceEnd::Kind;
  if (end.held) return "";
  const std::string runway = end.runway.empty() ? "" : "runway " + end.runway;
  const std::string entry = end.at.name.empty() ? "" : " intersection " + end.at.name;
  switch (end.kind) {
    case Kind::none:
      return "";
    case Kind::hold:
      return " to holding point " + with_id(end.at.name, end.id) + (runway.empty() ? "" : " " + runway);
    case Kind::runway_hold:
      return " to holding point " + runway + entry;
    case Kind::runway:
      return " to " + runway + entry;
    case Kind::stand:
      return " to stand " + with_id(end.at.name, end.id);
  }
  return "";
}

}  // namespace

const char* to_string(Side side) { return side == Side::left ? "left" : "right"; }

Vocabulary make_vocabulary(const network::Network& network) {
  std::set<std::string> taxiways, runways, holds, stands;
  std::vector<std::uint8_t> unnamed_hold(network.nodes.size(), 0);
  for (const auto& h : network.holding_points) {
    add_parts(holds, h.ref);
    if (h.ref.empty()) unnamed_hold[index(h.node)] = 1;
  }
  for (const auto& s : network.segments) {
    if (s.kind == LineKind::runway) continue;
    if (unnamed_hold[index(s.from)] || unnamed_hold[index(s.to)]) add_parts(holds, s.name);
    if (s.kind != LineKind::stand_line) add_parts(taxiways, s.name);
  }
  for (const auto& r : network.runways)
    for (const std::string& d : r.designators)
      if (!d.empty()) runways.insert(d);
  for (const auto& s : network.stands) add_parts(stands, s.ref);
  return {listed_once(taxiways), listed_once(runways), listed_once(holds), listed_once(stands)};
}

std::string to_text(const Clearance& clearance) {
  std::string out = clearance.from_runway.empty() ? "" : "vacate runway " + clearance.from_runway + ", ";
  out += "taxi" + text_of(clearance.end);
  bool first = true;
  for (const ClearanceItem& item : clearance.items) {
    out += (first ? " via " : ", ") + text_of(item);
    first = false;
  }
  for (const ClearanceBinding& binding : clearance.bindings) out += ", " + text_of(binding);
  if (clearance.backtrack)
    out += ", backtrack" + (clearance.backtrack_runway.empty() ? "" : " runway " + clearance.backtrack_runway);
  if (clearance.line_up) out += ", line up";
  return out;
}

}  // namespace solotaxi::routing
