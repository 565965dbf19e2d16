// Built once for each CASE: 0 must compile, every other one must not.
#include "solotaxi/geo/position.hpp"
#include "solotaxi/network/network.hpp"
#include "solotaxi/units/quantity.hpp"

using namespace solotaxi;

int main() {
  [[maybe_unused]] Metres length = 3_m;
  [[maybe_unused]] Seconds time = 2_s;
#if CASE == 0
  [[maybe_unused]] MetresPerSecond speed = length / time;
  [[maybe_unused]] double ratio = length / 2_m;
#elif CASE == 1
  length = time;  // a time is no length
#elif CASE == 2
  length = 3.0;  // a bare number has no unit
#elif CASE == 3
  length = length * length;  // an area is no length
#elif CASE == 4
  [[maybe_unused]] auto sum = length + time;
#elif CASE == 5
  [[maybe_unused]] LocalXY xy = LatLon::degrees(1, 2);  // degrees are not metres
#elif CASE == 6
  [[maybe_unused]] network::NodeId node = network::ArcId{1};  // ids of different things
#elif CASE == 7
  [[maybe_unused]] Grade grade = Radians{0.01};  // a slope in radians is not a grade
#endif
}
