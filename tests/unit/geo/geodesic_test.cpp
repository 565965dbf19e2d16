#include "solotaxi/geo/geodesic.hpp"

#include <rapidcheck.h>

#include <catch2/catch.hpp>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <sstream>
#include <string>
#include <vector>

#include "support/shared.hpp"

using namespace solotaxi;

namespace {

std::vector<std::vector<std::string>> read_table(const std::filesystem::path& file) {
  std::ifstream in(file);
  std::vector<std::vector<std::string>> rows;
  std::string line, cell;
  std::getline(in, line);  // header
  while (std::getline(in, line)) {
    if (!line.empty() && line.back() == '\r') line.pop_back();
    if (line.empty()) continue;
    std::vector<std::string> row;
    std::istringstream cells(line);
    while (std::getline(cells, cell, ',')) row.push_back(cell);
    rows.push_back(std::move(row));
  }
  return rows;
}

/// Longitudes of the reference cases run beyond 180°; ours are checked positions.
LatLon position(const std::string& lat, const std::string& lon) {
  return LatLon::degrees(std::stod(lat), std::remainder(std::stod(lon), 360.0));
}

double angle_between_deg(double a, double b) { return std::abs(std::remainder(a - b, 360.0)); }

}  // namespace

// Source: the 20 standard cases of the geodesic library, Karney, J. Geodesy 87 (2013), doi:10.1007/s00190-012-0578-z
// [S:KARNEY2013].
TEST_CASE("the twenty standard geodesics come out to a micrometre") {
  const auto file = test::shared_file("geodesic/geodtest20.csv");
  if (!file) return;
  const auto rows = read_table(*file);
  REQUIRE(rows.size() == 20);
  for (const auto& row : rows) {
    const LatLon a = position(row[0], row[1]);
    const LatLon b = position(row[3], row[4]);
    const double azimuth_deg = std::stod(row[2]);
    const double length_m = std::stod(row[6]);
    INFO(row[0] << ", " << row[1] << " to " << row[3] << ", " << row[4]);
    CHECK(geodesic_length(a, b).value() == Approx(length_m).margin(1e-6));
    CHECK(geodesic_length(b, a).value() == Approx(length_m).margin(1e-6));
    CHECK(angle_between_deg(azimuth(a, b).in_degrees(), azimuth_deg) < 1e-9);
    CHECK(geodesic_length(destination(a, Radians::degrees(azimuth_deg), Metres{length_m}), b).value() < 1e-6);
  }
}

// Source: 300 pairs at airport scale solved with the geodesic library's GeodSolve [S:GEODSOLVE].
TEST_CASE("three hundred airport-scale lengths agree to ten nanometres") {
  const auto file = test::shared_file("geodesic/airport_scale_geodsolve.csv");
  if (!file) return;
  const auto rows = read_table(*file);
  REQUIRE(rows.size() == 300);
  double worst_m = 0.0, worst_deg = 0.0;
  for (const auto& row : rows) {
    const LatLon a = position(row[1], row[2]);
    const LatLon b = position(row[3], row[4]);
    worst_m = std::max(worst_m, std::abs(geodesic_length(a, b).value() - std::stod(row[7])));
    worst_deg = std::max(worst_deg, angle_between_deg(azimuth(a, b).in_degrees(), std::stod(row[5])));
  }
  CHECK(worst_m < 1e-8);
  CHECK(worst_deg < 1e-7);
}

// Source: the GeodSolve command of Debian's geographiclib-tools, run beside the test where it is installed.
TEST_CASE("lengths agree with the GeodSolve command") {
  if (std::system("command -v GeodSolve >/dev/null 2>&1") != 0) {
    std::cout << "[skipped] GeodSolve is not installed\n";
    return;
  }
  const std::vector<std::vector<double>> pairs{{35.8575, 14.4775, 35.8489, 14.4951}, {-41.3272, 174.8052, -41.3412, 174.81},
                                               {54.0833, -4.6239, 54.0901, -4.6101}, {78.2461, 15.4656, 78.2501, 15.5},
                                               {0.0, 179.999, 0.01, -179.999},       {-77.9, 166.5, -77.91, 166.6}};
  std::string echo;
  for (const auto& p : pairs) {
    char line[160];
    std::snprintf(line, sizeof line, "%.10f %.10f %.10f %.10f\\n", p[0], p[1], p[2], p[3]);
    echo += line;
  }
  std::FILE* pipe = popen(("printf '" + echo + "' | GeodSolve -i -p 9").c_str(), "r");
  REQUIRE(pipe != nullptr);
  for (const auto& p : pairs) {
    double azi1 = 0.0, azi2 = 0.0, length_m = 0.0;
    REQUIRE(std::fscanf(pipe, "%lf %lf %lf", &azi1, &azi2, &length_m) == 3);
    const LatLon a = LatLon::degrees(p[0], p[1]), b = LatLon::degrees(p[2], p[3]);
    CHECK(geodesic_length(a, b).value() == Approx(length_m).margin(2e-8));
    CHECK(angle_between_deg(azimuth(a, b).in_degrees(), azi1) < 1e-9);
  }
  pclose(pipe);
}

TEST_CASE("the length of a line is the sum over its vertices") {
  const std::vector<LatLon> line{LatLon::degrees(10, 20), LatLon::degrees(10, 20.01), LatLon::degrees(10.01, 20.01)};
  CHECK(geodesic_length(line).value() ==
        Approx(geodesic_length(line[0], line[1]).value() + geodesic_length(line[1], line[2]).value()));
  CHECK(geodesic_length(std::span(line).first(1)).value() == 0.0);
  CHECK(azimuth(line[1], line[0]).in_degrees() == Approx(270.0).margin(0.01));
}

TEST_CASE("the local plane is true to a millionth within 10 km, at every latitude and over the date line") {
  const bool ok = rc::check([] {
    const LatLon origin =
        LatLon::degrees(*rc::gen::inRange(-8900, 8900) / 100.0, *rc::gen::element(-180.0, 179.99, 0.0, 14.5));
    const LocalFrame frame(origin);
    const auto point = [&] {
      return destination(origin, Radians::degrees(*rc::gen::inRange(0, 3600) / 10.0),
                         Metres{*rc::gen::inRange(0, 10000) * 1.0});
    };
    const LatLon a = point();
    const double heading_deg = *rc::gen::inRange(0, 3600) / 10.0;
    const LatLon b = destination(a, Radians::degrees(heading_deg), Metres{*rc::gen::inRange(20, 3000) * 1.0});
    const LatLon c = destination(b, Radians::degrees(*rc::gen::inRange(0, 3600) / 10.0), Metres{500.0});
    RC_PRE(geodesic_length(origin, b).value() < 10000 && geodesic_length(origin, c).value() < 10000);
    const LocalXY pa = frame.to_local(a), pb = frame.to_local(b), pc = frame.to_local(c);
    // Scale.
    const double length_m = geodesic_length(a, b).value();
    RC_ASSERT(std::abs(distance_m(pa, pb) / length_m - 1.0) < 1e-6);
    // Angle between two directions at one point. Its error is twice that of a direction's, at most.
    const double true_turn = std::remainder(azimuth(b, c).value() - azimuth(b, a).value(), 2 * std::numbers::pi);
    const double plane_turn = deflection(heading(pb, pa), heading(pb, pc)).value();
    RC_ASSERT(std::abs(std::remainder(true_turn - plane_turn, 2 * std::numbers::pi)) < 2e-6);
    // There and back to a nanometre.
    RC_ASSERT(geodesic_length(frame.to_geodetic(pa), a).value() < 1e-8);
  });
  CHECK(ok);
}
