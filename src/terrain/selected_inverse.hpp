// Entries of the inverse of a sparse symmetric matrix where its Cholesky factor has entries.
//
// Method: recurrence of Takahashi, Fagan & Chen (1973), backwards over the columns of L D Lᵀ. It needs no more entries of
// the inverse than the factor has, and the factor has all those of the matrix itself.
#pragma once

#include <Eigen/SparseCore>
#include <vector>

namespace solotaxi::terrain {

class SelectedInverse {
 public:
  /// `lower` holds the strictly lower part of the unit factor L, compressed with rows in order; `diagonal` is D (> 0).
  /// Cost: the sum over columns of the squared number of their entries.
  SelectedInverse(const Eigen::SparseMatrix<double>& lower, const Eigen::VectorXd& diagonal);

  /// Entry (i, j) of the inverse; the factor must have an entry there (every entry of the matrix has).
  [[nodiscard]] double operator()(int i, int j) const;

 private:
  const Eigen::SparseMatrix<double>* lower_;  // of the caller, for its pattern
  std::vector<double> entries_;               // as lower_'s
  std::vector<double> diagonal_;
};

}  // namespace solotaxi::terrain
