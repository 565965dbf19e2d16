// Squares of a plane that hold numbers of things near each other.
#pragma once

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <unordered_map>
#include <vector>

#include "solotaxi/geo/position.hpp"

namespace solotaxi::terrain {

class Buckets {
 public:
  explicit Buckets(double cell_m) : cell_(cell_m) {}
  void add(LocalXY xy, std::uint32_t id) { cells_[key(column(xy.x_m), column(xy.y_m))].push_back(id); }
  /// Enters `id` in every square the box of a and b touches.
  void add_box(LocalXY a, LocalXY b, std::uint32_t id) {
    for (auto i = column(std::min(a.x_m, b.x_m)); i <= column(std::max(a.x_m, b.x_m)); ++i)
      for (auto j = column(std::min(a.y_m, b.y_m)); j <= column(std::max(a.y_m, b.y_m)); ++j)
        cells_[key(i, j)].push_back(id);
  }
  /// Calls f(id) for all within at least `reach_m` of xy, and some beyond; a box may come several times.
  template <class F>
  void near(LocalXY xy, double reach_m, F f) const {
    const auto i0 = column(xy.x_m - reach_m), i1 = column(xy.x_m + reach_m);
    const auto j0 = column(xy.y_m - reach_m), j1 = column(xy.y_m + reach_m);
    for (auto i = i0; i <= i1; ++i)
      for (auto j = j0; j <= j1; ++j)
        if (const auto found = cells_.find(key(i, j)); found != cells_.end())
          for (const std::uint32_t id : found->second) f(id);
  }
  [[nodiscard]] double cell_m() const { return cell_; }

 private:
  [[nodiscard]] std::int64_t column(double v) const { return static_cast<std::int64_t>(std::floor(v / cell_)); }
  static std::int64_t key(std::int64_t x, std::int64_t y) { return x * 0x100000000LL + y; }
  double cell_;
  std::unordered_map<std::int64_t, std::vector<std::uint32_t>> cells_;
};

}  // namespace solotaxi::terrain
