#include "terrain/shared_noise.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <tuple>

#include "terrain/buckets.hpp"

namespace solotaxi::terrain {
namespace {

constexpr std::size_t kNeighbours = 6;  // deviations change by under 1 % with more
constexpr double kFarthest = 1.5;       // correlation lengths; what lies farther off tells little
constexpr double kRegular = 1e-9;       // added to variances, for places that coincide

void add_source(const Observations& observed, std::uint32_t source, std::vector<std::uint32_t> places,
                std::vector<NoiseStatement>& out) {
  if (places.empty()) return;
  const double length = observed.sources[source].noise.correlation_length_m;
  const auto at = [&](std::uint32_t i) { return observed.noise[i].at; };
  std::sort(places.begin(), places.end(), [&](std::uint32_t a, std::uint32_t b) {
    return std::tuple(at(a).x_m, at(a).y_m, a) < std::tuple(at(b).x_m, at(b).y_m, b);
  });
  const double spacing = std::max(observed.sources[source].pixel_m, 0.1 * length);
  const double farthest = std::max(kFarthest * length, 2.0 * spacing);
  Buckets before(2.0 * spacing);
  const auto correlation = [&](std::uint32_t a, std::uint32_t b) { return std::exp(-distance_m(at(a), at(b)) / length); };
  std::vector<std::pair<double, std::uint32_t>> near;
  for (const std::uint32_t i : places) {
    for (double reach = 2.0 * spacing;; reach = std::min(2.0 * reach, farthest)) {
      near.clear();
      before.near(at(i), reach, [&](std::uint32_t j) {
        const double apart = distance_m(at(i), at(j));
        if (apart <= reach) near.emplace_back(apart, j);
      });
      if (near.size() >= kNeighbours || reach >= farthest) break;
    }
    const std::size_t m = std::min(near.size(), kNeighbours);
    std::partial_sort(near.begin(), near.begin() + static_cast<std::ptrdiff_t>(m), near.end());
    NoiseStatement s{i, {}, 1.0};
    if (m > 0) {
      const auto size = static_cast<Eigen::Index>(m);
      Eigen::MatrixXd among(size, size);
      Eigen::VectorXd with(size);
      for (Eigen::Index a = 0; a < size; ++a) {
        with[a] = correlation(i, near[static_cast<std::size_t>(a)].second);
        for (Eigen::Index b = 0; b < size; ++b)
          among(a, b) =
              a == b ? 1.0 + kRegular
                     : correlation(near[static_cast<std::size_t>(a)].second, near[static_cast<std::size_t>(b)].second);
      }
      const Eigen::VectorXd weight = among.ldlt().solve(with);
      s.variance = std::max(kRegular, 1.0 - weight.dot(with));
      for (Eigen::Index a = 0; a < size; ++a) s.earlier.emplace_back(near[static_cast<std::size_t>(a)].second, weight[a]);
    }
    before.add(at(i), i);
    out.push_back(std::move(s));
  }
}

}  // namespace

std::vector<NoiseStatement> shared_noise(const Observations& observed) {
  std::vector<std::vector<std::uint32_t>> places(observed.sources.size());
  for (std::uint32_t i = 0; i < observed.noise.size(); ++i) places[observed.noise[i].source].push_back(i);
  std::vector<NoiseStatement> out;
  for (std::uint32_t s = 0; s < places.size(); ++s) add_source(observed, s, std::move(places[s]), out);
  return out;
}

}  // namespace solotaxi::terrain
