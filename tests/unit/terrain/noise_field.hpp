// Noise as rasters have it, drawn with given correlation; and grounds drawn from the prior of the height estimate.
#pragma once

#include <Eigen/SparseCholesky>
#include <algorithm>
#include <cmath>
#include <complex>
#include <random>
#include <unsupported/Eigen/FFT>
#include <vector>

#include "solotaxi/terrain/heights.hpp"
#include "terrain/edge_prior.hpp"
#include "terrain/state_system.hpp"

namespace solotaxi::test {

/// A stationary Gaussian field of variance 1 on a grid, by circulant embedding on a grid twice as large [Dietrich &
/// Newsam 1997, SIAM J. Sci. Comput. 18(4)]. Parts of the spectrum that come out negative (far tails) are left out.
class NoiseField {
 public:
  template <class Correlation>  // of the distance [m]
  NoiseField(int columns, int rows, double pixel_m, Correlation correlation)
      : columns_(columns), width_(power_of_two(2 * columns)), height_(power_of_two(2 * rows)) {
    std::vector<Complex> spectrum(size());
    for (int y = 0; y < height_; ++y)
      for (int x = 0; x < width_; ++x)
        spectrum[at(x, y)] = correlation(pixel_m * std::hypot(std::min(x, width_ - x), std::min(y, height_ - y)));
    transform(spectrum);
    for (const Complex& s : spectrum) root_.push_back(std::sqrt(std::max(0.0, s.real()) / static_cast<double>(size())));
  }

  /// One field, row by row.
  [[nodiscard]] std::vector<double> draw(std::mt19937& random, int rows) const {
    std::normal_distribution<double> normal;
    std::vector<Complex> values(size());
    for (std::size_t k = 0; k < values.size(); ++k) {
      const double re = normal(random), im = normal(random);
      values[k] = root_[k] * Complex(re, im);
    }
    transform(values);
    std::vector<double> out;
    for (int y = 0; y < rows; ++y)
      for (int x = 0; x < columns_; ++x) out.push_back(values[at(x, y)].real());
    return out;
  }

 private:
  using Complex = std::complex<double>;
  static int power_of_two(int n) {
    int p = 1;
    while (p < n) p *= 2;
    return p;
  }
  [[nodiscard]] std::size_t size() const { return static_cast<std::size_t>(width_) * static_cast<std::size_t>(height_); }
  [[nodiscard]] std::size_t at(int x, int y) const {
    return static_cast<std::size_t>(y) * static_cast<std::size_t>(width_) + static_cast<std::size_t>(x);
  }
  void transform(std::vector<Complex>& values) const {
    Eigen::FFT<double> fft;
    std::vector<Complex> line, out;
    const auto along = [&](int lines, int length, auto place) {
      for (int a = 0; a < lines; ++a) {
        line.resize(static_cast<std::size_t>(length));
        for (int b = 0; b < length; ++b) line[static_cast<std::size_t>(b)] = values[place(a, b)];
        fft.fwd(out, line);
        for (int b = 0; b < length; ++b) values[place(a, b)] = out[static_cast<std::size_t>(b)];
      }
    };
    along(height_, width_, [&](int y, int x) { return at(x, y); });
    along(width_, height_, [&](int x, int y) { return at(x, y); });
  }

  int columns_, width_, height_;
  std::vector<double> root_;
};

/// Ground drawn from the prior: height and gradient of each point.
struct DrawnGround {
  std::vector<double> height_m, east, north;
};

class GroundPrior {
 public:
  GroundPrior(const terrain::HeightProblem& problem, double wander_per_m) : points_(problem.points.size()) {
    using Triplet = Eigen::Triplet<double>;
    std::vector<Triplet> entries;
    const auto number = [](const terrain::EdgeStatement::Term& t) { return static_cast<int>(3 * t.point) + t.which; };
    for (const terrain::HeightEdge& e : problem.edges) {
      const double unit = terrain::is_abutment(problem, e) ? 1.0 : wander_per_m;
      for (const terrain::EdgeStatement& s : terrain::edge_statements(problem, e))
        for (std::size_t i = 0; i < static_cast<std::size_t>(s.terms); ++i)
          for (std::size_t j = 0; j < static_cast<std::size_t>(s.terms); ++j)
            entries.emplace_back(number(s.term[i]), number(s.term[j]),
                                 s.term[i].weight * s.term[j].weight / (s.variance * unit));
    }
    // One point of each part at a known height, with a gradient of about half a per cent.
    const terrain::Parts parts = terrain::connected_parts(problem);
    std::vector<char> held(parts.count, 0);
    for (std::size_t i = 0; i < points_; ++i) {
      if (held[parts.of_point[i]] != 0) continue;
      held[parts.of_point[i]] = 1;
      const int first = static_cast<int>(3 * i);
      entries.emplace_back(first, first, 1.0);
      for (const int k : {1, 2}) entries.emplace_back(first + k, first + k, 1.0 / (0.005 * 0.005));
    }
    const int n = static_cast<int>(3 * points_);
    Eigen::SparseMatrix<double> precision(n, n);
    precision.setFromTriplets(entries.begin(), entries.end());
    factor_.compute(precision);
  }

  [[nodiscard]] DrawnGround draw(std::mt19937& random, double level_m) const {
    std::normal_distribution<double> normal;
    Eigen::VectorXd w(static_cast<Eigen::Index>(3 * points_));
    for (double& v : w) v = normal(random);
    w.array() /= factor_.vectorD().array().sqrt();
    const Eigen::VectorXd drawn = factor_.permutationPinv() * factor_.matrixU().solve(w);
    DrawnGround out;
    for (std::size_t i = 0; i < points_; ++i) {
      const auto k = static_cast<Eigen::Index>(3 * i);
      out.height_m.push_back(level_m + drawn[k]);
      out.east.push_back(drawn[k + 1]);
      out.north.push_back(drawn[k + 2]);
    }
    return out;
  }

 private:
  std::size_t points_;
  Eigen::SimplicialLDLT<Eigen::SparseMatrix<double>> factor_;
};

}  // namespace solotaxi::test
