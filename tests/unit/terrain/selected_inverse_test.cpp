#include "terrain/selected_inverse.hpp"

#include <Eigen/Dense>
#include <Eigen/SparseCholesky>
#include <catch2/catch.hpp>
#include <random>

using namespace solotaxi::terrain;

TEST_CASE("the selected inverse equals the dense inverse wherever the matrix has entries", "[terrain]") {
  std::mt19937 random(2);
  std::uniform_real_distribution<double> value(-1.0, 1.0);
  std::uniform_int_distribution<int> pick(0, 59);
  const int n = 60;
  Eigen::MatrixXd dense = Eigen::MatrixXd::Identity(n, n) * 12.0;
  for (int k = 0; k < 150; ++k) {
    const int i = pick(random), j = pick(random);
    if (i != j) dense(i, j) = dense(j, i) = value(random);
  }
  const Eigen::SparseMatrix<double> sparse = dense.sparseView();
  const Eigen::SparseMatrix<double> lower_part = sparse.triangularView<Eigen::Lower>();
  Eigen::SimplicialLDLT<Eigen::SparseMatrix<double>, Eigen::Lower, Eigen::NaturalOrdering<int>> factor(lower_part);
  REQUIRE(factor.info() == Eigen::Success);
  const Eigen::SparseMatrix<double>& lower = factor.matrixL().nestedExpression();
  const SelectedInverse inverse(lower, factor.vectorD());
  const Eigen::MatrixXd expected = dense.inverse();
  for (int i = 0; i < n; ++i)
    for (int j = 0; j < n; ++j)
      if (dense(i, j) != 0.0) REQUIRE(inverse(i, j) == Approx(expected(i, j)).margin(1e-12));
}

TEST_CASE("an entry outside the factor is refused", "[terrain]") {
  Eigen::SparseMatrix<double> identity(3, 3);
  identity.setIdentity();
  Eigen::SimplicialLDLT<Eigen::SparseMatrix<double>, Eigen::Lower, Eigen::NaturalOrdering<int>> factor(identity);
  const Eigen::SparseMatrix<double>& lower = factor.matrixL().nestedExpression();
  const SelectedInverse inverse(lower, factor.vectorD());
  CHECK(inverse(1, 1) == 1.0);
  CHECK_THROWS_AS(inverse(2, 0), std::out_of_range);
}
