#include "solotaxi/network/restore.hpp"

#include <fmt/format.h>

#include <cmath>

#include "network/draft.hpp"
#include "solotaxi/base/error.hpp"

namespace solotaxi::network {
namespace {

/// Lengths that differ by less are the same line [m]: far above rounding, far below any edit.
constexpr double kSameLength_m = 1e-6;
/// Grades that differ by less are the same, rise over run.
constexpr double kSameGrade = 1e-9;

void lay_in_plane(Network& net) {
  for (Node& n : net.nodes) n.xy = net.frame.to_local(n.at);
  for (Segment& s : net.segments) {
    if (s.geodetic.size() < 2) throw data_error("a segment needs at least two vertices", {"", {}, s.source_id});
    if (index(s.from) >= net.nodes.size() || index(s.to) >= net.nodes.size())
      throw data_error("a segment ends at a node that is not there", {"", {}, s.source_id});
    s.geodetic.front() = net.node(s.from).at;
    s.geodetic.back() = net.node(s.to).at;
    s.line.clear();
    for (const LatLon at : s.geodetic) s.line.push_back(net.frame.to_local(at));
    detail::measure(s);
    if (!(s.length_m > 0.0)) throw data_error("a segment has no length", {"", {}, s.source_id});
  }
}

void mend_profile(Network& net, Segment& s) {
  const auto report = [&](const char* code, const std::string& text) {
    net.findings.push_back(detail::finding_at(code, Severity::caution, s.source_id, s.geodetic.front(), text));
  };
  if (s.profile.size() < 2) {
    const double from = net.node(s.from).height_m, to = net.node(s.to).height_m;
    s.profile = {{0.0, from}, {s.length_m, to}};
    s.grade_sd = {std::isfinite(to - from) ? 0.005 : terrain::kUnknownGradeSd};  // assumed: a hand-drawn piece, 0.5 %
    report("profile-from-nodes", fmt::format("A segment of {:.0f} m has no height profile; it is taken as even between its "
                                             "nodes{}.",
                                             s.length_m, std::isfinite(to - from) ? "" : ", whose heights are not known"));
  } else if (const double was = s.profile.back().at_m; std::abs(was - s.length_m) > kSameLength_m) {
    for (Knot& knot : s.profile) knot.at_m *= s.length_m / was;
    report("profile-stretched",
           fmt::format("A segment is {:.1f} m long where its height profile is {:.1f} m; the profile is stretched.",
                       s.length_m, was));
  }
  s.profile.back().at_m = s.length_m;
  s.grade_sd.resize(s.profile.size() - 1, terrain::kUnknownGradeSd);
}

bool follows_stated(const Segment& s) {
  if (!s.stated_grade) return true;
  for (std::size_t k = 0; k + 1 < s.profile.size(); ++k) {
    const double way = s.profile[k + 1].at_m - s.profile[k].at_m, rise = s.profile[k + 1].height_m - s.profile[k].height_m;
    if (!(std::abs(rise / way - *s.stated_grade) < kSameGrade)) return false;
  }
  return true;
}

}  // namespace

Network restore_network(Network net) {
  if (net.runways.empty()) throw data_error("no runway in the network");
  lay_in_plane(net);
  for (Segment& s : net.segments) mend_profile(net, s);
  // Only what a planner changed: what follows its stated grade already stays to the last digit.
  std::vector<std::optional<double>> stated;
  for (Segment& s : net.segments) {
    stated.push_back(s.stated_grade);
    if (follows_stated(s)) s.stated_grade.reset();
  }
  detail::follow_stated_grades(net);
  for (std::size_t i = 0; i < net.segments.size(); ++i) net.segments[i].stated_grade = stated[i];
  detail::index_arcs(net);
  detail::measure_runways(net);
  detail::add_movements(net, detail::GeosContext());
  detail::number_components(net);
  return net;
}

}  // namespace solotaxi::network
