#include "solotaxi/network/network.hpp"

#include <catch2/catch.hpp>

using namespace solotaxi;
using namespace solotaxi::network;

TEST_CASE("a position on a segment goes by its way, over the date line too, and stays within it") {
  Network net;
  net.frame = LocalFrame(LatLon::degrees(-17.0, 180.0));
  Segment s;
  s.line = {{-300.0, 0.0}, {100.0, 0.0}, {100.0, 200.0}};
  for (const LocalXY p : s.line) s.geodetic.push_back(net.frame.to_geodetic(p));
  s.chainage_m = {0.0, 400.0, 600.0};
  s.length_m = 600.0;
  const auto local = [&](double at_m) { return net.frame.to_local(position_at(net, s, at_m)); };
  CHECK(local(150.0).x_m == Approx(-150.0).margin(1e-6));  // west of the date line
  CHECK(local(350.0).x_m == Approx(50.0).margin(1e-6));    // east of it, on the same leg
  CHECK(local(500.0).y_m == Approx(100.0).margin(1e-6));
  CHECK(position_at(net, s, 400.0) == s.geodetic[1]);
  CHECK(position_at(net, s, -5.0) == s.geodetic.front());
  CHECK(position_at(net, s, 700.0) == s.geodetic.back());
}
