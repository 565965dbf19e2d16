// Parts of a field changed.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "planning/screen_field.hpp"
#include "solotaxi/base/error.hpp"

namespace solotaxi::planning {

using network::ArcId;

namespace {

void check(const Change& c, double value, double least, double most, const char* what, const char* unit) {
  if (!(value >= least && value <= most))
    throw usage_error(fmt::format("{} of {} {} for {} is out of range", what, value, unit, c.name),
                      fmt::format("{} to {} {}", least, most, unit));
}

/// The profile's steeper intervals laid down to the grade; the segment's heights behind them move along.
void lay_down(network::Segment& s, double grade, const std::string& name) {
  std::vector<network::Knot> out = s.profile;
  for (std::size_t k = 0; k + 1 < s.profile.size(); ++k) {
    const double way_m = s.profile[k + 1].at_m - s.profile[k].at_m;
    const double rise_m = s.profile[k + 1].height_m - s.profile[k].height_m;
    if (!std::isfinite(rise_m))
      throw data_error("the grade of " + name + " is not known, so it cannot be made gentler", {{}, {}, s.source_id},
                       "give heights with --dem or --survey");
    out[k + 1].height_m = out[k].height_m + std::clamp(rise_m, -grade * way_m, grade * way_m);
    if (k < s.grade_sd.size() && std::abs(rise_m) > grade * way_m) s.grade_sd[k] = 0.0;  // as built
  }
  s.profile = std::move(out);
}

}  // namespace

network::Network changed_network(const network::Network& network, const std::vector<Change>& changes) {
  network::Network out = network;
  for (const Change& c : changes) {
    if (std::count_if(changes.begin(), changes.end(), [&](const Change& o) { return o.name == c.name; }) > 1)
      throw data_error("is changed twice", {{}, {}, c.name}, "say all of it in one change");
    if (c.max_grade_pct) check(c, *c.max_grade_pct, 0.0, 10.0, "a grade", "%");
    if (c.min_radius_m) check(c, *c.min_radius_m, 5.0, 1000.0, "a radius", "m");
    std::vector<std::uint8_t> done(out.segments.size(), 0);
    const auto arcs = routing::arcs_named(network, c.name);
    if (arcs.empty())
      throw data_error("nothing on this field is called so", {{}, {}, c.name}, "name a taxiway, runway or map id");
    for (const ArcId a : arcs) {
      const auto at = index(segment_of(a));
      network::Segment& s = out.segments[at];
      if (done[at]++ != 0) continue;
      if (c.max_grade_pct) lay_down(s, *c.max_grade_pct / 100.0, c.name);
      if (c.closed) s.closed = *c.closed;
    }
  }
  return out;
}

void widen_bends(routing::Question& q, const std::vector<Change>& changes) {
  const auto& net = *q.net;
  const auto widen = [](network::Bend& bend, double radius_m) {
    if (!(bend.radius_m < radius_m) && !bend.refused) return;
    bend.radius_m = bend.drawn_radius_m = std::max(radius_m, std::isfinite(bend.radius_m) ? bend.radius_m : radius_m);
    bend.tight_drawing = bend.refused = bend.assumed = false;
  };
  for (const Change& c : changes) {
    if (!c.min_radius_m) continue;
    std::vector<std::uint8_t> named(net.arc_count(), 0);
    for (const ArcId a : routing::arcs_named(net, c.name)) {
      named[index(a)] = 1;
      for (std::uint32_t b = q.shape.first_bend[index(a)]; b < q.shape.first_bend[index(a) + 1]; ++b)
        widen(q.shape.bends[b], *c.min_radius_m);
    }
    for (std::size_t m = 0; m < net.movements.size(); ++m)
      if (!net.movements[m].turn_round && named[index(net.movements[m].from)] && named[index(net.movements[m].to)])
        widen(q.shape.movement[m], *c.min_radius_m);
  }
}

}  // namespace solotaxi::planning
