// What a clearance leaves open, in words.
#include <fmt/format.h>

#include <array>
#include <cmath>
#include <numbers>

#include "routing/assigned_match.hpp"

namespace solotaxi::routing {
namespace {

/// Eight points of the compass.
std::string compass(LocalXY from, LocalXY to) {
  static constexpr std::array kNames{"north", "north-east", "east", "south-east",
                                     "south", "south-west", "west", "north-west"};
  const double eighths = heading(from, to).value() / (std::numbers::pi / 4.0);
  return kNames[static_cast<std::size_t>((std::lround(eighths) + 8) % 8)];
}

std::string longer_words(double metres) {
  return metres < 0.5 ? std::string("as long") : fmt::format("{:.0f} m longer", metres);
}

}  // namespace

std::vector<AssignedChoice> tell_choices(const Match& match, double length_m, NodeId last) {
  const Network& net = *match.trial->q.net;
  const Clearance& clearance = *match.trial->asked.clearance;
  std::vector<AssignedChoice> out;
  for (const OtherWay& o : match.others) {
    const double longer = static_cast<double>(o.longer_mm) / 1e3;
    if (longer > 0.5 * length_m) continue;  // nobody would mean it
    const auto& taken = net.node(o.taken);
    const auto& other = net.node(o.other);
    const double apart = distance_m(taken.xy, other.xy);
    const ClearanceItem& item = clearance.items[o.item];
    out.push_back(
        {o.item, taken.at, other.at, longer,
         fmt::format(
             "\"{}\" begins at one of two junctions; by the one {:.0f} m {} of it the way is {}",
             clearance.quoted(item.span), apart, compass(taken.xy, other.xy), longer_words(longer))});
  }
  if (!match.other_end_longer_m) return out;
  const ResolvedPlace other = resolve(net, match.other_end);
  out.push_back(
      {std::nullopt, net.node(last).at, net.node(other.node).at, *match.other_end_longer_m,
       fmt::format(
           "\"{}\" is one of several of that name; to the one {:.0f} m {} of it the way is {}",
           clearance.quoted(clearance.end.span), distance_m(net.node(last).xy, net.node(other.node).xy),
           compass(net.node(last).xy, net.node(other.node).xy), longer_words(*match.other_end_longer_m))});
  return out;
}

}  // namespace solotaxi::routing
