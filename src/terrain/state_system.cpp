#include "terrain/state_system.hpp"

#include <Eigen/OrderingMethods>
#include <Eigen/SparseCholesky>
#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>
#include <stdexcept>

#include "terrain/buckets.hpp"
#include "terrain/edge_prior.hpp"
#include "terrain/plane.hpp"
#include "terrain/selected_inverse.hpp"
#include "terrain/shared_noise.hpp"

namespace solotaxi::terrain {
namespace {

using Sparse = Eigen::SparseMatrix<double>;
using Triplets = std::vector<Eigen::Triplet<double>>;

constexpr double kShortGrade = 2.0;         // m; grades of shorter edges are as certain as the gradient at their ends
constexpr double kUnseenHeightSd = 1000.0;  // m; of a part without any observation
constexpr double kRoughWander = 0.02 * 0.02 / 30.0;  // per m, see roughen
constexpr double kRoughReach = 60.0;                 // m
constexpr int kOfPoint = 3;                          // unknowns of a point
constexpr int kOwnEntries = 6;  // products of the first three terms of an observation; then those with its noise

void add_product(Triplets& entries, int i, int j, double value) {
  if (i >= j) entries.emplace_back(i, j, value);
}

/// Where an observation's products go in the values of the matrix.
struct Products {
  std::array<int, 4> unknown{};
  std::array<double, 4> weight{};
  int terms = 0;
  std::array<std::pair<int, double>, 10> entry{};  // index into the values, product of the weights
  int entries = 0;
};

}  // namespace

Parts connected_parts(const HeightProblem& problem) {
  std::vector<std::uint32_t> root(problem.points.size());
  std::iota(root.begin(), root.end(), 0U);
  const auto find = [&](std::uint32_t i) {
    while (root[i] != i) i = root[i] = root[root[i]];
    return i;
  };
  for (const HeightEdge& e : problem.edges) root[find(e.a)] = find(e.b);
  std::vector<std::uint32_t> number(problem.points.size(), 0);
  Parts parts;
  parts.of_point.resize(problem.points.size());
  for (std::uint32_t i = 0; i < root.size(); ++i)
    if (find(i) == i) number[i] = static_cast<std::uint32_t>(parts.count++);
  for (std::uint32_t i = 0; i < root.size(); ++i) parts.of_point[i] = number[find(i)];
  return parts;
}

struct StateSystem::Impl {
  const HeightProblem& problem;
  const Observations& observed;
  std::vector<int> first;  // first unknown of each point, then of each noise place, in elimination order
  int unknowns = 0;
  Plane plane;
  Sparse normal;                         // lower part
  std::vector<double> per_wander, firm;  // values of edges for q = 1, and of what does not depend on q
  std::vector<char> rough;               // by edge
  std::vector<Products> products;        // by observation
  Triplets held;                         // noise, and what holds the parts
  double prior_rank = 0.0, wandering_share = 1.0, wander = 0.0, log_likelihood = 0.0;
  Eigen::VectorXd solution;
  Eigen::SimplicialLDLT<Sparse, Eigen::Lower, Eigen::NaturalOrdering<int>> factor;

  Impl(const HeightProblem& p, const Observations& o) : problem(p), observed(o) {}

  [[nodiscard]] int of_point(std::uint32_t point, int which) const { return first[point] + which; }
  [[nodiscard]] int of_noise(std::uint32_t place) const { return first[problem.points.size() + place]; }
  void order(const std::vector<NoiseStatement>& noise);
  [[nodiscard]] Triplets edge_entries(bool of_rough) const;
  [[nodiscard]] Triplets firm_entries(const std::vector<NoiseStatement>& noise, const Parts& parts) const;
  [[nodiscard]] Triplets room() const;
  [[nodiscard]] Sparse with_pattern(const Triplets& valued, const Triplets& empty) const;
  void lay_out(const Triplets& edges, const Triplets& firm_entries);
  void weigh_edges(const Triplets& edges, const Triplets& firm_entries);
};

/// Fill-reducing order of points and noise places as wholes; the unknowns of a point stay together.
void StateSystem::Impl::order(const std::vector<NoiseStatement>& noise) {
  const int points = static_cast<int>(problem.points.size()), n = points + static_cast<int>(observed.noise.size());
  Triplets pattern;
  const auto join = [&](int a, int b) {
    pattern.emplace_back(a, b, 1.0);
    if (a != b) pattern.emplace_back(b, a, 1.0);
  };
  for (int i = 0; i < n; ++i) join(i, i);
  for (const HeightEdge& e : problem.edges)
    if (e.a != e.b) join(static_cast<int>(e.a), static_cast<int>(e.b));
  for (const Observation& o : observed.list)
    if (o.noise >= 0) join(static_cast<int>(o.point), points + o.noise);
  for (const NoiseStatement& s : noise)
    for (std::size_t a = 0; a < s.earlier.size(); ++a) {
      const int i = points + static_cast<int>(s.earlier[a].first);
      join(i, points + static_cast<int>(s.place));
      for (std::size_t b = 0; b < a; ++b) join(i, points + static_cast<int>(s.earlier[b].first));
    }
  Sparse graph(n, n);
  graph.setFromTriplets(pattern.begin(), pattern.end());
  Eigen::PermutationMatrix<Eigen::Dynamic, Eigen::Dynamic, int> permutation;
  Eigen::AMDOrdering<int>()(graph, permutation);
  first.resize(static_cast<std::size_t>(n));
  for (int k = 0; k < n; ++k) {
    const int i = permutation.indices()[k];
    first[static_cast<std::size_t>(i)] = unknowns;
    unknowns += i < points ? kOfPoint : 1;
  }
}

/// Products of the edges that are rough or abutments, for their own wander, or of the others, for q = 1.
Triplets StateSystem::Impl::edge_entries(bool of_rough) const {
  Triplets entries;
  entries.reserve(problem.edges.size() * 40);
  for (std::size_t k = 0; k < problem.edges.size(); ++k) {
    const bool abutment = is_abutment(problem, problem.edges[k]);
    if ((rough[k] != 0 || abutment) != of_rough) continue;
    for (const EdgeStatement& s : edge_statements(problem, problem.edges[k], of_rough ? kRoughWander : 0.0))
      for (int i = 0; i < s.terms; ++i)
        for (int j = 0; j < s.terms; ++j) {
          const auto& a = s.term[static_cast<std::size_t>(i)];
          const auto& b = s.term[static_cast<std::size_t>(j)];
          add_product(entries, of_point(a.point, a.which), of_point(b.point, b.which), a.weight * b.weight / s.variance);
        }
  }
  return entries;
}

/// Noise, and what holds each part: it needs a gradient somewhere, so at the point of its middle observation it is the
/// plane's, with the deviation of a grade nothing is known about. A part without observations is held in height as well, so
/// loosely that it counts as unknown.
Triplets StateSystem::Impl::firm_entries(const std::vector<NoiseStatement>& noise, const Parts& parts) const {
  Triplets entries;
  for (const NoiseStatement& s : noise) {
    std::vector<std::pair<int, double>> terms{{of_noise(s.place), 1.0}};
    for (const auto& [j, weight] : s.earlier) terms.emplace_back(of_noise(j), -weight);
    for (const auto& [i, a] : terms)
      for (const auto& [j, b] : terms) add_product(entries, i, j, a * b / s.variance);
  }
  std::vector<std::vector<std::uint32_t>> seen(parts.count);
  for (const Observation& o : observed.list) seen[parts.of_point[o.point]].push_back(o.point);
  std::vector<std::uint32_t> any(parts.count);
  for (std::uint32_t i = 0; i < problem.points.size(); ++i) any[parts.of_point[i]] = i;
  for (std::size_t p = 0; p < parts.count; ++p) {
    const std::uint32_t at = seen[p].empty() ? any[p] : seen[p][seen[p].size() / 2];
    for (const int k : {1, 2})
      add_product(entries, of_point(at, k), of_point(at, k), 1.0 / (kUnknownGradeSd * kUnknownGradeSd));
    if (seen[p].empty()) add_product(entries, of_point(at, 0), of_point(at, 0), 1.0 / (kUnseenHeightSd * kUnseenHeightSd));
  }
  return entries;
}

/// Entries without a value wherever an observation has its products.
Triplets StateSystem::Impl::room() const {
  Triplets out;
  for (std::uint32_t i = 0; i < problem.points.size(); ++i)
    for (int a = 0; a < kOfPoint; ++a)
      for (int b = 0; b <= a; ++b) out.emplace_back(of_point(i, a), of_point(i, b), 0.0);
  for (const Products& p : products)
    for (int t = 0; p.terms > kOfPoint && t < p.terms; ++t) {
      const int noise = p.unknown[kOfPoint], other = p.unknown[static_cast<std::size_t>(t)];
      out.emplace_back(std::max(noise, other), std::min(noise, other), 0.0);
    }
  return out;
}

Sparse StateSystem::Impl::with_pattern(const Triplets& valued, const Triplets& empty) const {
  Triplets all = room();
  all.insert(all.end(), valued.begin(), valued.end());
  for (const auto& t : empty) all.emplace_back(t.row(), t.col(), 0.0);
  Sparse matrix(unknowns, unknowns);
  matrix.setFromTriplets(all.begin(), all.end());
  return matrix;
}

/// The values of the matrix's parts, in the pattern they share.
void StateSystem::Impl::weigh_edges(const Triplets& edges, const Triplets& firm_part) {
  const auto values = [](const Sparse& m) { return std::vector<double>(m.valuePtr(), m.valuePtr() + m.nonZeros()); };
  per_wander = values(with_pattern(edges, firm_part));
  firm = values(with_pattern(firm_part, edges));
}

/// One pattern for every part of the matrix, so that each solution only adds up values.
void StateSystem::Impl::lay_out(const Triplets& edges, const Triplets& firm_part) {
  const auto& list = observed.list;
  products.resize(list.size());
  for (std::size_t k = 0; k < list.size(); ++k) {
    Products& p = products[k];
    const auto add = [&](int unknown, double weight) {
      p.unknown[static_cast<std::size_t>(p.terms)] = unknown;
      p.weight[static_cast<std::size_t>(p.terms++)] = weight;
    };
    add(of_point(list[k].point, 0), 1.0);
    add(of_point(list[k].point, 1), list[k].offset.x_m);
    add(of_point(list[k].point, 2), list[k].offset.y_m);
    if (list[k].noise < 0) continue;
    const int noise = of_noise(static_cast<std::uint32_t>(list[k].noise));
    add(noise, list[k].shared_m);
  }
  normal = with_pattern(edges, firm_part);
  for (Products& p : products)
    for (int a = 0; a < p.terms; ++a)
      for (int b = 0; b <= a; ++b) {
        const auto ia = static_cast<std::size_t>(a), ib = static_cast<std::size_t>(b);
        const int row = std::max(p.unknown[ia], p.unknown[ib]), column = std::min(p.unknown[ia], p.unknown[ib]);
        const int *begin = normal.innerIndexPtr() + normal.outerIndexPtr()[column],
                  *end = normal.innerIndexPtr() + normal.outerIndexPtr()[column + 1];
        p.entry[static_cast<std::size_t>(p.entries++)] = {
            static_cast<int>(std::lower_bound(begin, end, row) - normal.innerIndexPtr()), p.weight[ia] * p.weight[ib]};
      }
  factor.analyzePattern(normal);
}

StateSystem::StateSystem(const HeightProblem& problem, const Observations& observed, const Parts& parts)
    : impl_(std::make_unique<Impl>(problem, observed)) {
  std::vector<LocalXY> at;
  std::vector<double> heights;
  for (const Observation& o : observed.list) at.push_back(o.at), heights.push_back(o.height_m);
  impl_->plane = fit_plane(at, heights);
  const std::vector<NoiseStatement> noise = shared_noise(observed);
  impl_->order(noise);
  impl_->rough.assign(problem.edges.size(), 0);
  impl_->held = impl_->firm_entries(noise, parts);
  Triplets firm = impl_->edge_entries(true);
  firm.insert(firm.end(), impl_->held.begin(), impl_->held.end());
  const Triplets edges = impl_->edge_entries(false);
  impl_->lay_out(edges, firm);
  impl_->weigh_edges(edges, firm);
  impl_->prior_rank = static_cast<double>(kOfPoint * (problem.points.size() - parts.count));
}

void StateSystem::roughen(std::span<const LocalXY> at) {
  Impl& s = *impl_;
  Buckets places(kRoughReach);
  for (std::uint32_t k = 0; k < at.size(); ++k) places.add(at[k], k);
  for (std::size_t k = 0; k < s.rough.size(); ++k) {
    const HeightEdge& e = s.problem.edges[k];
    const LocalXY middle = (s.problem.points[e.a].xy + s.problem.points[e.b].xy) * 0.5;
    if (s.rough[k] != 0 || e.on_structure) continue;
    bool near = false;
    places.near(middle, kRoughReach, [&](std::uint32_t i) { near = near || distance_m(at[i], middle) <= kRoughReach; });
    s.rough[k] = near ? 1 : 0;
  }
  // Rough edges no longer depend on q; each takes its share of the prior's rank with it.
  const auto rough = static_cast<double>(std::count(s.rough.begin(), s.rough.end(), 1));
  const double rank = static_cast<double>(kOfPoint) * static_cast<double>(s.problem.edges.size());
  s.wandering_share = rank > 0.0 ? 1.0 - kOfPoint * rough / rank : 1.0;
  Triplets firm = s.edge_entries(true);
  firm.insert(firm.end(), s.held.begin(), s.held.end());
  s.weigh_edges(s.edge_entries(false), firm);
}

StateSystem::~StateSystem() = default;

void StateSystem::solve(double wander, std::span<const double> inflation, double shared) {
  Impl& s = *impl_;
  s.wander = wander;
  double* value = s.normal.valuePtr();
  for (std::size_t k = 0; k < s.firm.size(); ++k) value[k] = s.per_wander[k] / wander + s.firm[k];
  Eigen::VectorXd right = Eigen::VectorXd::Zero(s.unknowns);
  double squares = 0.0, log_weights = 0.0;
  const double root_shared = std::sqrt(shared);
  for (std::size_t k = 0; k < s.products.size(); ++k) {
    if (std::isinf(inflation[k])) continue;
    const Observation& o = s.observed.list[k];
    const Products& p = s.products[k];
    const double weight = 1.0 / (inflation[k] * o.sigma_m * o.sigma_m - shared * o.shared_m * o.shared_m);
    const double misfit = o.height_m - s.plane.height(o.at);
    for (int e = 0; e < p.entries; ++e) {
      const auto& [at, product] = p.entry[static_cast<std::size_t>(e)];
      const double scale = e < kOwnEntries ? 1.0 : e + 1 < p.entries ? root_shared : shared;
      value[at] += weight * scale * product;
    }
    for (int t = 0; t < p.terms; ++t)
      right[p.unknown[static_cast<std::size_t>(t)]] +=
          weight * misfit * p.weight[static_cast<std::size_t>(t)] * (t < kOfPoint ? 1.0 : root_shared);
    squares += weight * misfit * misfit;
    log_weights += std::log(weight);
  }
  s.factor.factorize(s.normal);
  if (s.factor.info() != Eigen::Success) throw std::runtime_error("the heights of the network cannot be solved for");
  s.solution = s.factor.solve(right);
  const auto diagonal = s.factor.vectorD();
  double log_determinant = 0.0;
  for (int i = 0; i < s.unknowns; ++i) log_determinant += std::log(diagonal[i]);
  s.log_likelihood = -0.5 * (s.prior_rank * s.wandering_share * std::log(wander) + log_determinant - log_weights + squares -
                             right.dot(s.solution));
}

double StateSystem::height(std::uint32_t point) const {
  return impl_->plane.height(impl_->problem.points[point].xy) + impl_->solution[impl_->of_point(point, 0)];
}

double StateSystem::ground_at(const Observation& o) const {
  return impl_->plane.height(o.at) + impl_->solution[impl_->of_point(o.point, 0)] +
         o.offset.x_m * impl_->solution[impl_->of_point(o.point, 1)] +
         o.offset.y_m * impl_->solution[impl_->of_point(o.point, 2)];
}

double StateSystem::log_likelihood() const { return impl_->log_likelihood; }

StateSystem::Deviations StateSystem::deviations() const {
  const Sparse& lower = impl_->factor.matrixL().nestedExpression();
  const SelectedInverse inverse(lower, impl_->factor.vectorD());
  const auto cov = [&](std::uint32_t p, int i, std::uint32_t q, int j) {
    return inverse(impl_->of_point(p, i), impl_->of_point(q, j));
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
  // Half of what the statements' expected squares exceed their number by, which cycles lessen; all edges alike, for short.
  const Impl& s = *impl_;
  const double rank = s.prior_rank / static_cast<double>(std::max<std::size_t>(1, s.problem.edges.size()));
  out.edge_score.assign(s.problem.edges.size(), 0.0);
  for (std::size_t k = 0; k < s.problem.edges.size(); ++k) {
    const HeightEdge& e = s.problem.edges[k];
    if (s.rough[k] != 0 || e.a == e.b || e.on_structure) continue;
    double squares = 0.0;
    for (const EdgeStatement& statement : edge_statements(s.problem, e)) {
      double value = 0.0, variance = 0.0;
      for (int i = 0; i < statement.terms; ++i) {
        const auto& a = statement.term[static_cast<std::size_t>(i)];
        value += a.weight * s.solution[s.of_point(a.point, a.which)];
        for (int j = 0; j < statement.terms; ++j) {
          const auto& b = statement.term[static_cast<std::size_t>(j)];
          variance += a.weight * b.weight * cov(a.point, a.which, b.point, b.which);
        }
      }
      squares += (value * value + variance) / (statement.variance * s.wander);
    }
    out.edge_score[k] = 0.5 * (squares - rank);
  }
  return out;
}

}  // namespace solotaxi::terrain
