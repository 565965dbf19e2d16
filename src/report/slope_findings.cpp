// Grades and changes of grade against the standards for taxiways, with the uncertainty of the heights taken into account.
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>

#include "solotaxi/base/error.hpp"
#include "solotaxi/report/check_report.hpp"
#include "text_layout.hpp"

namespace solotaxi::report {
namespace {

/// Limits for longitudinal slopes of taxiways [ICAO Annex 14 Volume I as tabled by Horonjeff et al., Planning and Design of
/// Airports, Table 6-21].
struct SlopeStandard {
  double grade;   ///< rise over run
  double change;  ///< of grade …
  double per_m;   ///< … over this way
};

SlopeStandard standard_of(char code_letter) {
  const bool small = code_letter == 'A' || code_letter == 'B';
  return small ? SlopeStandard{0.03, 0.01, 25.0} : SlopeStandard{0.015, 0.01, 30.0};
}

/// A piece of even grade along a way.
struct Piece {
  network::SegmentId segment{};
  double middle_m = 0.0;      ///< along the way
  double in_segment_m = 0.0;  ///< of its middle, from the segment's start
  double length_m = 0.0;
  double grade = 0.0;  ///< in the way's direction; NaN where unknown
  double sd = 0.0;
};

void append_pieces(const network::Network& network, network::ArcId arc, double start_m, std::vector<Piece>& pieces) {
  const network::Segment& segment = network.segment(arc);
  const std::size_t count = segment.profile.size() < 2 ? 0 : segment.profile.size() - 1;
  for (std::size_t i = 0; i < count; ++i) {
    const std::size_t k = is_along(arc) ? i : count - 1 - i;
    const network::Knot &a = segment.profile[k], &b = segment.profile[k + 1];
    const double length = b.at_m - a.at_m;
    if (!(length > 0.0)) continue;
    const double middle = 0.5 * (a.at_m + b.at_m), grade = (b.height_m - a.height_m) / length;
    const double sd = k < segment.grade_sd.size() ? segment.grade_sd[k] : 0.0;
    pieces.push_back({network::segment_of(arc), start_m + (is_along(arc) ? middle : segment.length_m - middle), middle,
                      length, is_along(arc) ? grade : -grade, sd});
  }
}

bool judged(const network::Segment& segment) {
  return segment.kind == network::LineKind::taxiway || segment.kind == network::LineKind::taxilane;
}

/// The straightest way on from the end of an arc, if it deflects under 20°.
std::optional<network::ArcId> straight_on(const network::Network& network, network::ArcId arc) {
  std::optional<network::ArcId> best;
  double least = 20.0 * std::numbers::pi / 180.0;
  for (const network::Movement& m : network.movements_from(arc))
    if (!m.turn_round && judged(network.segment(m.to)) && std::abs(static_cast<double>(m.angle_rad)) < least) {
      least = std::abs(static_cast<double>(m.angle_rad));
      best = m.to;
    }
  return best;
}

/// What a segment is over by, at its worst place.
struct Worst {
  double value = 0.0, sd = 0.0, excess_sds = 0.0, at_m = 0.0, length_m = 0.0;
  bool any = false;
  void take(double v, double s, double limit, double at, double length) {
    const double sds = s > 0.0 ? (v - limit) / s : HUGE_VAL;
    length_m += length;
    if (any && !(sds > excess_sds || (sds == excess_sds && v > value))) return;
    value = v, sd = s, excess_sds = sds, at_m = at, any = true;
  }
};

std::string title(const network::Segment& segment) {
  return fmt::format("{}{}", airfield::to_string(segment.kind), segment.name.empty() ? "" : " " + segment.name);
}

Finding finding(const network::Network& network, const network::Segment& segment, const Worst& worst, const char* code,
                std::string text) {
  const LatLon at = network::position_at(network, segment, worst.at_m);
  // An excess smaller than one standard deviation may be noise in the heights.
  const bool sure = worst.excess_sds > 1.0;
  Finding f;
  f.code = sure ? code : std::string(code) + "-uncertain";
  f.severity = sure ? Severity::caution : Severity::note;
  f.where = {segment.source_id, at.lat_deg(), at.lon_deg(), true};
  f.text = std::move(text) + (sure ? "" : "; the heights are too uncertain to tell");
  return f;
}

/// Worst change of grade of each segment, over at least the standard's way, also across nodes that run straight on.
std::vector<Worst> changes(const network::Network& network, const SlopeStandard& standard) {
  std::vector<Worst> worst(network.segments.size());
  std::vector<Piece> pieces;
  for (std::uint32_t a = 0; a < network.arc_count(); ++a) {
    const network::ArcId arc{a};
    if (!judged(network.segment(arc))) continue;
    pieces.clear();
    append_pieces(network, arc, 0.0, pieces);
    const std::size_t own = pieces.size();
    double way = network.segment(arc).length_m;
    const double enough = way + 2.0 * standard.per_m;
    std::optional<network::ArcId> next = straight_on(network, arc);
    for (int steps = 0; next && way < enough && steps < 20; ++steps) {
      append_pieces(network, *next, way, pieces);
      way += network.segment(*next).length_m;
      next = straight_on(network, *next);
    }
    for (std::size_t i = 0; i < own; ++i)
      for (std::size_t j = i + 1; j < pieces.size(); ++j) {
        const double apart = pieces[j].middle_m - pieces[i].middle_m;
        if (apart < standard.per_m) continue;
        // Inside one segment a pair is seen once, along it; across segments once, from the one of the lower number.
        const bool same = pieces[j].segment == pieces[i].segment;
        if (same ? !is_along(arc) : index(pieces[j].segment) < index(pieces[i].segment)) break;
        const double change = std::abs(pieces[j].grade - pieces[i].grade) * standard.per_m / apart;
        const double sd = std::hypot(pieces[j].sd, pieces[i].sd) * standard.per_m / apart;
        if (change > standard.change)
          worst[index(pieces[i].segment)].take(change, sd, standard.change, pieces[i].in_segment_m, 0.0);
        break;  // only the nearest piece far enough on
      }
  }
  return worst;
}

}  // namespace

Findings slope_findings(const network::Network& network, char code_letter) {
  if (code_letter < 'A' || code_letter > 'F')
    throw usage_error(fmt::format("code letter '{}' is not one of A to F", printable(std::string(1, code_letter))));
  const SlopeStandard standard = standard_of(code_letter);
  const std::vector<Worst> change = changes(network, standard);
  Findings findings;
  std::vector<Piece> pieces;
  for (std::size_t s = 0; s < network.segments.size(); ++s) {
    const network::Segment& segment = network.segments[s];
    if (!judged(segment)) continue;
    pieces.clear();
    append_pieces(network, network::arc_along(network::SegmentId{static_cast<std::uint32_t>(s)}), 0.0, pieces);
    Worst steep;
    for (const Piece& p : pieces)
      if (std::abs(p.grade) > standard.grade)
        steep.take(std::abs(p.grade), p.sd, standard.grade, p.in_segment_m, p.length_m);
    if (steep.any)
      findings.push_back(
          finding(network, segment, steep, "slope-over-standard",
                  fmt::format("{} is {} ± {} % steep at its worst and over the {} % of code letter {} for {} m",
                              title(segment), number(steep.value * 100.0, 1), number(steep.sd * 100.0, 1),
                              number(standard.grade * 100.0, 1), code_letter, number(steep.length_m, 0))));
    if (change[s].any)
      findings.push_back(finding(network, segment, change[s], "slope-change-over-standard",
                                 fmt::format("{} changes its grade by {} ± {} % per {} m, over the 1 % of code letter {}",
                                             title(segment), number(change[s].value * 100.0, 1),
                                             number(change[s].sd * 100.0, 1), number(standard.per_m, 0), code_letter)));
  }
  return findings;
}

}  // namespace solotaxi::report
