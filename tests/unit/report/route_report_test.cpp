#include "solotaxi/report/route_report.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include "page.hpp"
#include "sample.hpp"

using namespace solotaxi;
using namespace solotaxi::report;
using namespace solotaxi::report::test;

namespace {

struct Sample {
  network::Network network = row({4.0, 4.0, 4.0}, 100.0);
  aircraft::Aircraft aircraft;
  motion::Conditions conditions;
  routing::Route route = sample_route();
  [[nodiscard]] RouteContext context() const { return {&network, &aircraft, &conditions, "field.osm"}; }
  [[nodiscard]] std::string text(Units units = Units::si) const { return route_text(route, context(), units); }
  [[nodiscard]] nlohmann::json json() const { return nlohmann::json::parse(route_json(route, context())); }
};

}  // namespace

TEST_CASE("A briefing never exceeds 80 columns, whatever the names") {
  Sample s;
  check_width(s.text());
  check_width(s.text(Units::us));
  s.network.name = std::string(300, 'W');
  s.route.from = "stand:" + std::string(120, 'x');
  s.aircraft.name = "飛行機飛行機飛行機飛行機飛行機飛行機飛行機飛行機飛行機飛行機飛行機飛行機飛行機飛行機飛行機";
  add_finding(s.route.findings, "x", Severity::caution, ("way/" + std::string(100, '7')).c_str(), "y");
  check_width(s.text());
}

TEST_CASE("A briefing says what was asked, the totals, the way, and where the engine does not suffice and why") {
  const std::string text = unwrapped(Sample{}.text());
  CHECK(text.find("TAXI ROUTE Sand Bank (XXSB)") != std::string::npos);
  CHECK(text.find("From stand:12 To runway:08L Asked for departure, least fuel") != std::string::npos);
  CHECK(text.find("60,000 kg") != std::string::npos);
  CHECK(text.find("Length 1,235 m") != std::string::npos);
  CHECK(text.find("Time 5 min 05 s") != std::string::npos);
  CHECK(text.find("Fuel 50.0 kg, CO2 158.0 kg") != std::string::npos);  // 3.16 × fuel [S:CORSIA]
  CHECK(text.find("87 % that the left engine suffices at every place") != std::string::npos);
  CHECK(text.find("Push back 35 m along the stand line.") != std::string::npos);
  CHECK(text.find("Taxiway Größe 滑行道") != std::string::npos);
  CHECK(text.find("Unnamed taxilane: 500 m") != std::string::npos);
  CHECK(text.find("Keep rolling, no start from rest here (grade); thrust margin 12 %") != std::string::npos);
  CHECK(text.find(
            "turn left 92° on a radius of 30 m (assumed), toward the running engine; NEEDS EVERY ENGINE (turn toward the "
            "running engine)") != std::string::npos);
  CHECK(text.find("These parts are not for the left engine:") != std::string::npos);
  CHECK(text.find("Unnamed taxilane (500 m) needs every engine (turn toward the running engine), thrust margin -14 %") !=
        std::string::npos);
  CHECK(text.find("at 310 m: holding position A1, hold short of runway 08L/26R") <
        text.find("at 400 m: CROSS runway 08L/26R"));
  CHECK(text.find("CROSS runway 08L/26R; holding position A1 at 310 m") != std::string::npos);
  CHECK(text.find("enter runway 08L/26R to line up; no holding position is known") != std::string::npos);
  CHECK(text.find("serious, way/9: A hidden crossing.") != std::string::npos);
  CHECK(text.find("1 note on repairs") != std::string::npos);
  CHECK(text.find("Planning aid, not for navigation.") != std::string::npos);
  CHECK(text.find("© OpenStreetMap contributors, ODbL 1.0") != std::string::npos);
  for (const std::string& caution : cautions()) CHECK(text.find(caution) != std::string::npos);
}

TEST_CASE("The greatest grade of a leg downhill throughout is not called its steepest") {
  Sample s;
  s.route.legs[1].grade_mean = -0.012;
  s.route.legs[1].grade_max = -0.008;
  CHECK(unwrapped(s.text()).find("mean -1.2 %, greatest -0.8 %") != std::string::npos);
}

TEST_CASE("The greatest grade of a leg comes with its standard deviation") {
  Sample s;
  s.route.legs[1].grade_mean = 0.002;
  s.route.legs[1].grade_max = 0.008;
  s.route.legs[1].grade_max_sd = 0.0065;
  CHECK(unwrapped(s.text()).find("mean +0.2 %, greatest +0.8 ± 0.7 %") != std::string::npos);
  CHECK(s.json().at("legs").at(1).at("grade_max_sd_pct") == 0.65);
}

TEST_CASE("US units are pounds, feet and knots [S:ISO80000-3]") {
  const std::string text = unwrapped(Sample{}.text(Units::us));
  CHECK(text.find("132,277 lb") != std::string::npos);       // 60,000 kg
  CHECK(text.find("Length 4,050 ft") != std::string::npos);  // 1234.56 m
  CHECK(text.find("Fuel 110.2 lb") != std::string::npos);    // 50 kg
  CHECK(text.find(" kt Fuel") != std::string::npos);
  CHECK(text.find(" kg") == std::string::npos);
}

TEST_CASE("A route for which no way suits the running set says that it is the all-engine route") {
  Sample s;
  s.route.every_engine_needed = true;
  const std::string text = unwrapped(s.text());
  CHECK(text.find("There is no way that the left engine suffices for. This is the way with every engine running") !=
        std::string::npos);
  CHECK(text.find("Engines the left engine asked for, every engine needed (see ENGINES)") != std::string::npos);
  CHECK(text.find("Chance") == std::string::npos);
  CHECK(s.json()["every_engine_needed"] == true);
  s.route.set_along_m = 640.0;
  CHECK(unwrapped(s.text()).find(
            "There is no way off the runways that the left engine suffices for, only one with 640 m along "
            "a runway. This is the way with every engine running") != std::string::npos);
  CHECK(s.json()["probability"].is_null());
}

TEST_CASE("A route that the running set can do says so, and how much of it is rolling only") {
  Sample s;
  s.route.legs.pop_back();
  s.route.turns.clear();
  CHECK(unwrapped(s.text()).find(
            "The left engine suffices over the whole way. Legs of 700 m in all hold places that can be kept "
            "rolling only: do not stop there.") != std::string::npos);
  s.route.runway_uses.clear();
  CHECK(unwrapped(s.text()).find("No runway is crossed or used.") != std::string::npos);
}

TEST_CASE("The JSON of a route holds the keys of its contract in their order, rounded, SI") {
  const Sample s;
  const auto json = s.json();
  CHECK(json["from"] == "stand:12");
  CHECK(json["to"] == "runway:08L");
  CHECK(json["objective"] == "fuel");
  CHECK(json["engines"] == "left");
  CHECK(json["length_m"] == 1234.6);
  CHECK(json["time_s"] == 305.3);
  CHECK(json["fuel_kg"] == 50.0);
  CHECK(json["co2_kg"] == 158.0);  // [S:CORSIA]
  REQUIRE(json["legs"].size() == 3);
  const auto& leg = json["legs"][1];
  CHECK(leg["kind"] == "taxiway");
  CHECK(leg["grade_mean_pct"] == 0.4);
  CHECK(leg["grade_max_pct"] == 1.1);
  CHECK(leg["verdict"] == "rolling");
  CHECK(leg["reasons"] == nlohmann::json{"grade"});
  CHECK(leg["margin_pct"] == 12.3);
  CHECK(leg["geometry"][0] == nlohmann::json{-20.0, -30.0003, 4.0});
  REQUIRE(json["turns"].size() == 1);
  CHECK(json["turns"][0]["angle_deg"] == -91.7);
  CHECK(json["turns"][0]["toward_running"] == true);
  REQUIRE(json["runway_crossings"].size() == 1);
  CHECK(json["runway_crossings"][0]["hold"] == "A1");
  CHECK(json["runway_uses"].size() == 2);
  CHECK(json["findings"][0]["severity"] == "serious");
  CHECK(json["cautions"].size() == cautions().size());
  const std::string text = route_json(s.route, s.context());
  CHECK(text.back() == '\n');
  CHECK(text.find("\"from\"") < text.find("\"objective\""));
  CHECK(text.find("\"objective\"") < text.find("\"legs\""));
}

TEST_CASE("A number that is not finite is null in JSON") {
  const auto json = Sample{}.json();
  CHECK(json["turns"][0]["thrust_factor"].is_null());
  CHECK(json["legs"][2]["grade_mean_pct"].is_null());
  CHECK(json["legs"][1]["geometry"][1][2].is_null());
  CHECK(json["runway_uses"][1]["hold_at_m"].is_null());
}

TEST_CASE("toward_running is null when every engine runs") {
  Sample s;
  s.route.engines = "all";
  s.route.turns[0].toward_running.reset();
  CHECK(s.json()["turns"][0]["toward_running"].is_null());
  CHECK(s.text().find("running engine;") == std::string::npos);
}

TEST_CASE("Emissions are the databank's idle indices times the engines' fuel, the APU's left out [S:DATABANK]") {
  const auto json = Sample{}.json();
  // 50 kg less 110 kg/h over 305.25 s.
  const double engine_fuel_kg = 50.0 - 110.0 / 3600.0 * 305.25;
  CHECK(json["emissions"]["engine_fuel_kg"].get<double>() == Approx(engine_fuel_kg).margin(0.001));
  CHECK(json["emissions"]["co_g"].get<double>() == Approx(18.8 * engine_fuel_kg).margin(0.1));
}

TEST_CASE("Findings of the network on what the route drives on come with the route, the others do not") {
  Sample s;
  s.route.arcs = {network::arc_along(network::SegmentId{0})};
  add_finding(s.network.findings, "near-miss", Severity::caution, "way/1", "On the way.");
  add_finding(s.network.findings, "near-miss", Severity::caution, "way/2", "Elsewhere.");
  add_finding(s.network.findings, "clipped", Severity::serious, "", "The whole field.");
  const std::string text = unwrapped(s.text());
  CHECK(text.find("On the way.") != std::string::npos);
  CHECK(text.find("The whole field.") != std::string::npos);
  CHECK(text.find("Elsewhere.") == std::string::npos);
}

TEST_CASE("Bytes that are not UTF-8 in a name break neither text nor JSON") {
  Sample s;
  s.route.legs[2].name = "A\xFF\x1B";
  CHECK_NOTHROW(s.json());
  CHECK(s.text().find('\x1B') == std::string::npos);
}

TEST_CASE("The layers of a route hold legs as lines, turns and runway uses as points") {
  const Sample s;
  const auto layers = route_layers(s.route, s.context());
  REQUIRE(layers.size() == 4);
  CHECK(layers[0].features.size() == 3);
  CHECK(layers[0].features[1].line.size() == 2);
  CHECK(layers[1].features.size() == 1);
  CHECK(layers[2].features.size() == 2);
  for (const auto& layer : layers) {
    CHECK(layer.description.find("not for navigation") != std::string::npos);
    for (const auto& feature : layer.features) CHECK(feature.values.size() <= layer.columns.size());
  }
  REQUIRE(layers[3].features.size() == 2);
  // A GIS must find numbers and flags in a route that has no turn, and in one on every engine.
  const auto turns = layers[1];
  const auto type_of = [&](const char* column) {
    return turns.typical.at(
        static_cast<std::size_t>(std::find(turns.columns.begin(), turns.columns.end(), column) - turns.columns.begin()));
  };
  CHECK(std::holds_alternative<double>(type_of("radius_m")));
  CHECK(std::holds_alternative<bool>(type_of("toward_running")));
  CHECK(std::holds_alternative<std::monostate>(type_of("reasons")));
}
