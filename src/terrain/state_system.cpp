#include "terrain/state_system.hpp"

#include <Eigen/Dense>
#include <Eigen/OrderingMethods>
#include <Eigen/SparseCholesky>
#include <algorithm>
#include <array>
#include <cmath>
#include <stdexcept>

#include "terrain/selected_inverse.hpp"

namespace solotaxi::terrain {
namespace {

using Sparse = Eigen::SparseMatrix<double>;
using Triplets = std::vector<Eigen::Triplet<double>>;

constexpr double kDeckStiffness = 100.0;  // a deck's gradient wanders this much less (variance) than the ground's; assumed
constexpr double kShortestEdge = 1.0;     // m; shorter edges are no stiffer than this one: keeps the matrix well scaled
constexpr double kShortGrade = 2.0;       // m; grades of shorter edges are as certain as the gradient at their ends
constexpr double kUnseenHeightSd = 1000.0;  // m; of a part without any observation

/// The plane through all observations: z = at + gx (x − x0) + gy (y − y0). Taken off before solving, so that planes come
/// back exactly and numbers stay small.
struct Plane {
  LocalXY centre;
  double at = 0.0, gx = 0.0, gy = 0.0;
  [[nodiscard]] double height(LocalXY p) const { return at + gx * (p.x_m - centre.x_m) + gy * (p.y_m - centre.y_m); }
};

Plane fit_plane(const HeightProblem& problem, const std::vector<Observation>& list) {
  Plane plane;
  for (const Observation& o : list) {
    plane.centre = plane.centre + problem.points[o.point].xy;
    plane.at += o.height_m;
  }
  const double n = static_cast<double>(list.size());
  plane.centre = plane.centre * (1.0 / n);
  plane.at /= n;
  Eigen::Matrix2d normal = Eigen::Matrix2d::Zero();
  Eigen::Vector2d right = Eigen::Vector2d::Zero();
  for (const Observation& o : list) {
    const LocalXY d = problem.points[o.point].xy - plane.centre;
    const Eigen::Vector2d v(d.x_m, d.y_m);
    normal += v * v.transpose();
    right += v * (o.height_m - plane.at);
  }
  // The least slope where the observations lie in one line.
  const Eigen::Vector2d g = normal.completeOrthogonalDecomposition().solve(right);
  plane.gx = g.x();
  plane.gy = g.y();
  return plane;
}

}  // namespace

struct StateSystem::Impl {
  const HeightProblem& problem;
  const std::vector<Observation>& observations;
  std::vector<SharedNoise> fields;  // empty where noise is taken as independent
  int width = 3;                    // unknowns a point
  std::vector<int> first;           // first unknown of each point, in elimination order
  Plane plane;
  Sparse prior;  // lower part, with room for every observation
  Eigen::VectorXd solution;
  Eigen::SimplicialLDLT<Sparse, Eigen::Lower, Eigen::NaturalOrdering<int>> factor;

  Impl(const HeightProblem& p, const Observations& o, Noise noise) : problem(p), observations(o.list) {
    if (noise == Noise::shared) fields = o.fields;
    width += static_cast<int>(fields.size());
  }

  [[nodiscard]] int unknown(std::uint32_t point, int which) const { return first[point] + which; }
  void order_points();
  void add_edges(Triplets& entries, double wander) const;
  void hold_parts(Triplets& entries, std::span<const std::uint32_t> part, std::size_t parts) const;
};

/// Fill-reducing order of the points as wholes; their unknowns stay together.
void StateSystem::Impl::order_points() {
  const int n = static_cast<int>(problem.points.size());
  Triplets pattern;
  for (int i = 0; i < n; ++i) pattern.emplace_back(i, i, 1.0);
  for (const HeightEdge& e : problem.edges)
    if (e.a != e.b) {
      pattern.emplace_back(static_cast<int>(e.a), static_cast<int>(e.b), 1.0);
      pattern.emplace_back(static_cast<int>(e.b), static_cast<int>(e.a), 1.0);
    }
  Sparse graph(n, n);
  graph.setFromTriplets(pattern.begin(), pattern.end());
  Eigen::PermutationMatrix<Eigen::Dynamic, Eigen::Dynamic, int> order;
  Eigen::AMDOrdering<int>()(graph, order);
  first.resize(problem.points.size());
  for (int k = 0; k < n; ++k) first[static_cast<std::size_t>(order.indices()[k])] = width * k;
}

/// Adds wᵀw/variance of one linear statement.
template <std::size_t N>
void add_statement(Triplets& entries, const std::array<std::pair<int, double>, N>& terms, double variance) {
  for (const auto& [i, a] : terms)
    for (const auto& [j, b] : terms)
      if (i >= j) entries.emplace_back(i, j, a * b / variance);
}

void StateSystem::Impl::add_edges(Triplets& entries, double wander) const {
  std::vector<int> degree(problem.points.size(), 0);
  for (const HeightEdge& e : problem.edges) {
    if (e.a == e.b) continue;  // a loop without inner points: says nothing
    ++degree[e.a], ++degree[e.b];
    const double h = e.length_m, stiff_h = std::max(h, kShortestEdge);
    const double q = e.on_structure ? wander / kDeckStiffness : wander;
    const LocalXY d = problem.points[e.b].xy - problem.points[e.a].xy;
    // Way times direction; the chord where the edge is a bent line, so that planes stay exact.
    const double hx = 0.5 * d.x_m, hy = 0.5 * d.y_m;
    const auto a = [&](int k) { return unknown(e.a, k); };
    const auto b = [&](int k) { return unknown(e.b, k); };
    add_statement<6>(entries, {{{b(0), 1.0}, {a(0), -1.0}, {a(1), -hx}, {b(1), -hx}, {a(2), -hy}, {b(2), -hy}}},
                     q * stiff_h * stiff_h * stiff_h / 12.0);
    for (const int k : {1, 2}) add_statement<2>(entries, {{{b(k), 1.0}, {a(k), -1.0}}}, q * stiff_h);
    for (std::size_t f = 0; f < fields.size(); ++f) {
      const int k = 3 + static_cast<int>(f);
      const double rho = std::exp(-stiff_h / fields[f].length_m), scale = 1.0 / (fields[f].variance * (1.0 - rho * rho));
      entries.emplace_back(a(k), a(k), 0.5 * (1.0 + rho * rho) * scale);
      entries.emplace_back(b(k), b(k), 0.5 * (1.0 + rho * rho) * scale);
      entries.emplace_back(std::max(a(k), b(k)), std::min(a(k), b(k)), -rho * scale);
    }
  }
  for (std::uint32_t i = 0; i < problem.points.size(); ++i)
    for (std::size_t f = 0; f < fields.size(); ++f) {
      const int k = 3 + static_cast<int>(f);
      // Room for the observations; at a dead end what the missing neighbour would add.
      const double missing = std::max(0, 2 - degree[i]) * 0.5 / fields[f].variance;
      entries.emplace_back(unknown(i, k), unknown(i, k), missing);
      entries.emplace_back(unknown(i, k), unknown(i, 0), 0.0);
    }
  for (std::uint32_t i = 0; i < problem.points.size(); ++i)
    for (int k = 0; k < 3; ++k) entries.emplace_back(unknown(i, k), unknown(i, k), 0.0);
}

/// Each part needs a gradient somewhere: at the point of its middle observation it is the plane's, with the deviation of a
/// grade nothing is known about. A part without observations is held in height as well, so loosely that it counts as
/// unknown.
void StateSystem::Impl::hold_parts(Triplets& entries, std::span<const std::uint32_t> part, std::size_t parts) const {
  std::vector<std::vector<std::uint32_t>> observed(parts);
  for (const Observation& o : observations) observed[part[o.point]].push_back(o.point);
  std::vector<std::uint32_t> any(parts);
  for (std::uint32_t i = 0; i < problem.points.size(); ++i) any[part[i]] = i;
  for (std::size_t p = 0; p < parts; ++p) {
    const std::uint32_t at = observed[p].empty() ? any[p] : observed[p][observed[p].size() / 2];
    for (const int k : {1, 2})
      entries.emplace_back(unknown(at, k), unknown(at, k), 1.0 / (kUnknownGradeSd * kUnknownGradeSd));
    if (observed[p].empty())
      entries.emplace_back(unknown(at, 0), unknown(at, 0), 1.0 / (kUnseenHeightSd * kUnseenHeightSd));
  }
}

StateSystem::StateSystem(const HeightProblem& problem, const Observations& observations, const HeightOptions& options,
                         Noise noise, std::span<const std::uint32_t> part, std::size_t parts)
    : impl_(std::make_unique<Impl>(problem, observations, noise)) {
  impl_->plane = fit_plane(problem, observations.list);
  impl_->order_points();
  Triplets entries;
  entries.reserve(problem.edges.size() * 32 + problem.points.size() * 8);
  impl_->add_edges(entries, options.gradient_wander_per_m);
  impl_->hold_parts(entries, part, parts);
  const int n = impl_->width * static_cast<int>(problem.points.size());
  impl_->prior.resize(n, n);
  impl_->prior.setFromTriplets(entries.begin(), entries.end());
  impl_->factor.analyzePattern(impl_->prior);
}

StateSystem::~StateSystem() = default;

void StateSystem::solve(std::span<const double> inflation) {
  Sparse normal = impl_->prior;
  Eigen::VectorXd right = Eigen::VectorXd::Zero(normal.rows());
  for (std::size_t k = 0; k < impl_->observations.size(); ++k) {
    const Observation& o = impl_->observations[k];
    const bool shares = o.field >= 0 && !impl_->fields.empty();
    const double shared = shares ? impl_->fields[static_cast<std::size_t>(o.field)].variance : 0.0;
    const double weight = 1.0 / (o.sharing * (inflation[k] * o.sigma_m * o.sigma_m - shared));
    const double misfit = weight * (o.height_m - impl_->plane.height(impl_->problem.points[o.point].xy));
    const int z = impl_->unknown(o.point, 0);
    normal.coeffRef(z, z) += weight;
    right[z] += misfit;
    if (!shares) continue;
    const int c = impl_->unknown(o.point, 3 + o.field);
    normal.coeffRef(c, c) += weight;
    normal.coeffRef(c, z) += weight;
    right[c] += misfit;
  }
  impl_->factor.factorize(normal);
  if (impl_->factor.info() != Eigen::Success) throw std::runtime_error("the heights of the network cannot be solved for");
  impl_->solution = impl_->factor.solve(right);
}

double StateSystem::height(std::uint32_t point) const {
  return impl_->plane.height(impl_->problem.points[point].xy) + impl_->solution[impl_->unknown(point, 0)];
}

StateSystem::Deviations StateSystem::deviations() const {
  const Sparse& lower = impl_->factor.matrixL().nestedExpression();
  const SelectedInverse inverse(lower, impl_->factor.vectorD());
  const auto cov = [&](std::uint32_t p, int i, std::uint32_t q, int j) {
    return inverse(impl_->unknown(p, i), impl_->unknown(q, j));
  };
  Deviations out;
  for (std::uint32_t i = 0; i < impl_->problem.points.size(); ++i)
    out.height_sd_m.push_back(std::sqrt(std::max(0.0, cov(i, 0, i, 0))));
  for (const HeightEdge& e : impl_->problem.edges) {
    if (e.a == e.b) {
      out.edge_grade_sd.push_back(kUnknownGradeSd);
      continue;
    }
    double variance = 0.0;
    if (e.length_m >= kShortGrade) {
      variance = (cov(e.a, 0, e.a, 0) + cov(e.b, 0, e.b, 0) - 2.0 * cov(e.a, 0, e.b, 0)) / (e.length_m * e.length_m);
    } else {
      const LocalXY d = impl_->problem.points[e.b].xy - impl_->problem.points[e.a].xy;
      const double u[3] = {0.0, d.x_m / e.length_m, d.y_m / e.length_m};
      for (const int i : {1, 2})
        for (const int j : {1, 2})
          variance +=
              0.25 * u[i] * u[j] * (cov(e.a, i, e.a, j) + cov(e.b, i, e.b, j) + cov(e.a, i, e.b, j) + cov(e.b, i, e.a, j));
    }
    out.edge_grade_sd.push_back(std::sqrt(std::max(0.0, variance)));
  }
  return out;
}

}  // namespace solotaxi::terrain
