#include <algorithm>
#include <catch2/catch.hpp>

#include "plan_sample.hpp"
#include "solotaxi/geo/geodesic.hpp"

using namespace solotaxi;
using namespace solotaxi::report;
using namespace solotaxi::report::test;

namespace {

const io::FeatureLayer& layer(const std::vector<io::FeatureLayer>& layers, const std::string& name) {
  const auto found = std::find_if(layers.begin(), layers.end(), [&](const io::FeatureLayer& l) { return l.name == name; });
  REQUIRE(found != layers.end());
  return *found;
}

std::string text_of(const io::Feature& feature, std::size_t column) {
  return std::get<std::string>(feature.values[column]);
}

}  // namespace

TEST_CASE("The layers of a plan are those of its route, its phases, its engine points and other ways") {
  PlanSample s;
  const auto layers = plan_layers(s.plan, s.context());
  REQUIRE(layers.size() == route_layers(s.plan.shown.route, s.context().route).size() + 3);
  for (const auto& l : layers) {
    CHECK(l.description.find("not for navigation") != std::string::npos);
    for (const auto& feature : l.features) CHECK(feature.values.size() <= l.columns.size());
  }
  const auto& phases = layer(layers, "phases");
  REQUIRE(phases.features.size() == 3);
  CHECK(text_of(phases.features[1], 0) == "start");
  CHECK(text_of(phases.features[1], 1) == "Left engine, starting right");
  const auto& points = layer(layers, "engine_points");
  REQUIRE(points.features.size() == 2);
  CHECK(text_of(points.features[0], 0) == "start");
  CHECK(text_of(points.features[1], 0) == "running");
  CHECK(layer(layers, "alternatives").features.size() == 1);
}

TEST_CASE("Phases follow each other along the way without a gap, each on its share of it") {
  PlanSample s;
  const auto layers = plan_layers(s.plan, s.context());
  const auto& features = layer(layers, "phases").features;
  CHECK(geodesic_length(features[0].line.back(), features[1].line.front()).value() < 1e-6);
  CHECK(geodesic_length(features[1].line.back(), features[2].line.front()).value() < 1e-6);
  // START takes the first 300 m of the last leg's 500 m, whose line is straight.
  const auto& leg = s.plan.shown.route.legs[2].geometry;
  const double whole_m = geodesic_length(leg[0].at, leg[1].at).value();
  CHECK(geodesic_length(features[1].line).value() == Approx(0.6 * whole_m).epsilon(1e-6));
}

TEST_CASE("A phase that only stands has no line; an arrival's engine point is its shutdown") {
  PlanSample s;
  s.plan.shown.phases[1].to_m = s.plan.shown.phases[1].from_m;
  s.plan.shown.shutdown = s.plan.shown.second_engine;
  s.plan.shown.second_engine.reset();
  const auto layers = plan_layers(s.plan, s.context());
  CHECK(layer(layers, "phases").features.size() == 2);
  REQUIRE(layer(layers, "engine_points").features.size() == 1);
  CHECK(text_of(layer(layers, "engine_points").features[0], 0) == "shutdown");
}
