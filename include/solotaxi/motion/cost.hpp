// What a piece of way costs: time and fuel travel together.
#pragma once

namespace solotaxi::motion {

struct Cost {
  double time_s = 0.0;
  double fuel_kg = 0.0;
  Cost& operator+=(Cost o) { time_s += o.time_s; fuel_kg += o.fuel_kg; return *this; }
  friend Cost operator+(Cost a, Cost b) { return a += b; }
};

}  // namespace solotaxi::motion
