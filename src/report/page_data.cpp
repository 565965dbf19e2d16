// What the page's script needs: the way's line, the driven columns, the ground, names of stretches; and what lies on a way.
#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "common.hpp"
#include "page_escape.hpp"
#include "page_subject.hpp"
#include "sections.hpp"
#include "solotaxi/geo/line.hpp"

namespace solotaxi::report {
namespace {

using Json = nlohmann::ordered_json;

Json column(const std::vector<double>& values, int decimals) {
  Json list = Json::array();
  for (const double v : values) list.push_back(rounded(v, decimals));
  return list;
}

/// Vertices of the way in the page's plane, y downward, simplified as the map draws them.
Json line_json(const PageSubject& subject) {
  constexpr double kLine_m = 0.3;
  std::vector<LocalXY> line;
  for (const routing::RoutePoint& p : subject.way.points) line.push_back(subject.frame.to_local(p.at));
  Json at = Json::array(), x = Json::array(), y = Json::array();
  for (const std::size_t i : simplify(line, kLine_m)) {
    at.push_back(rounded(subject.way.at_m[i], 1));
    x.push_back(rounded(line[i].x_m, 1));
    y.push_back(rounded(-line[i].y_m, 1));
  }
  return {{"at", at}, {"x", x}, {"y", y}};
}

Json grades_json(const GroundColumns& ground) {
  Json from = Json::array(), to = Json::array(), grade = Json::array(), sd = Json::array();
  for (const routing::GradeRun& run : ground.grades) {
    from.push_back(rounded(run.from_m, 1));
    to.push_back(rounded(run.from_m + run.length_m, 1));
    grade.push_back(rounded(100.0 * run.grade, 2));
    sd.push_back(rounded(100.0 * run.grade_sd, 2));
  }
  return {{"from", from}, {"to", to}, {"value", grade}, {"sd", sd}};
}

std::string turn_text(const routing::Turn& turn) {
  if (!turn.toward_running || !*turn.toward_running) return "";
  return std::isfinite(turn.thrust_factor) ? "× " + number(turn.thrust_factor, 2) : "impossible";
}

}  // namespace

std::string place_words(const std::string& place) {
  for (const auto& [kind, word] :
       {std::pair{"stand:", "stand"}, {"runway:", "runway"}, {"hold:", "holding position"}, {"node:", "node"}}) {
    if (!place.starts_with(kind)) continue;
    std::string name = place.substr(std::string_view(kind).size()), id;
    if (const std::size_t at = name.find('#'); at != std::string::npos) id = name.substr(at + 1), name.erase(at);
    if (const std::size_t at = name.find('@'); at != std::string::npos) name.replace(at, 1, " at ");
    // The id tells stands of one name apart; a holding position's name says enough.
    const bool tell_id = !id.empty() && (name.empty() || word != std::string_view("holding position"));
    return word + (name.empty() ? "" : " " + name) + (tell_id ? " (" + id + ")" : "");
  }
  return place;
}

std::vector<PagePlace> route_places(const routing::Route& route, std::vector<PagePlace> more) {
  using Kind = routing::RunwayUse::Kind;
  std::vector<PagePlace> places{{"end", place_words(route.from), 0.0, false}};
  for (const routing::RunwayUse& use : route.runway_uses) {
    const std::string runway = use.runway.empty() ? "runway" : use.runway;
    if (!std::isnan(use.hold_at_m) && use.kind != Kind::exit)
      places.push_back({"hold", use.hold.empty() ? "hold" : "hold " + use.hold, use.hold_at_m, false});
    const char* const words[] = {"cross ", "line up ", "leave ", "along "};
    places.push_back({routing::to_string(use.kind), words[static_cast<std::size_t>(use.kind)] + runway, use.at_m, false});
  }
  for (const routing::Turn& turn : route.turns)
    places.push_back({!turn.toward_running   ? "turn"
                      : *turn.toward_running ? "toward"
                                             : "away",
                      turn_text(turn), turn.at_m, turn.angle_rad < 0});
  places.insert(places.end(), more.begin(), more.end());
  places.push_back({"end", place_words(route.to), route.length_m, false});
  std::stable_sort(places.begin(), places.end(), [](const PagePlace& a, const PagePlace& b) { return a.at_m < b.at_m; });
  // A holding position before a crossing and a line-up alike is told once.
  places.erase(std::unique(places.begin(), places.end(),
                           [](const PagePlace& a, const PagePlace& b) {
                             return a.mark == b.mark && a.text == b.text && a.at_m == b.at_m;
                           }),
               places.end());
  return places;
}

std::string page_data(const PageSubject& subject, const DriveColumns& drive, const GroundColumns& ground) {
  const Measures in(subject.units);
  Json json;
  json["length"] = rounded(subject.route->length_m, 1);
  json["driven"] = rounded(subject.driven_from_m, 1);
  json["units"] = {{"length", unit_json(in.length_unit())},
                   {"fuel", unit_json(in.fuel_unit())},
                   {"thrust", unit_json(in.thrust_unit())}};
  json["line"] = line_json(subject);
  json["drive"] = {{"at", column(drive.at_m, 1)},
                   {"time", column(drive.time_s, 1)},
                   {"speed", column(drive.speed_kt, 1)},
                   {"needed", column(drive.needed, in.thrust_unit().decimals)},
                   {"available", column(drive.available, in.thrust_unit().decimals)},
                   {"fuel", column(drive.fuel, 1)},
                   {"brake", column(drive.brake_c, 0)}};
  json["ground"] = {{"at", column(ground.at_m, 1)}, {"height", column(ground.height, 1)}};
  json["grade"] = grades_json(ground);
  json["set"] = named_engines(subject.route->engines);
  json["legs"] = Json::array();
  for (const routing::Leg& leg : subject.route->legs)
    json["legs"].push_back({{"at", rounded(leg.from_m, 1)},
                            {"name", printable(leg.push_back ? "push back" : way_title(leg.kind, leg.name))},
                            {"verdict", leg.push_back ? "" : verdict_words(leg.place.verdict)}});
  json["phases"] = Json::array();
  for (const PagePhase& phase : subject.phases)
    json["phases"].push_back({{"from", rounded(phase.from_m, 1)},
                              {"to", rounded(phase.to_m, 1)},
                              {"engines", printable(phase.engines)},
                              {"every", phase.style == "all"},
                              {"time", rounded(phase.time_s, 0)}});
  json["places"] = Json::array();
  for (const PagePlace& place : subject.places)
    json["places"].push_back({{"at", rounded(place.at_m, 1)}, {"text", printable(place.text)}});
  return script_json(json);
}

}  // namespace solotaxi::report
