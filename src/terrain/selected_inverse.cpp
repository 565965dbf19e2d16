#include "terrain/selected_inverse.hpp"

#include <algorithm>
#include <stdexcept>

namespace solotaxi::terrain {

SelectedInverse::SelectedInverse(const Eigen::SparseMatrix<double>& lower, const Eigen::VectorXd& diagonal)
    : lower_(&lower),
      entries_(static_cast<std::size_t>(lower.nonZeros())),
      diagonal_(static_cast<std::size_t>(lower.cols())) {
  const int n = static_cast<int>(lower.cols());
  const int* first = lower.outerIndexPtr();
  const int* row = lower.innerIndexPtr();
  const double* l = lower.valuePtr();
  double* z = entries_.data();
  std::vector<int> at(static_cast<std::size_t>(n), -1);  // entry of the present column, by row
  std::vector<double> sum;
  for (int j = n - 1; j >= 0; --j) {
    const int begin = first[j], end = first[j + 1];
    sum.assign(static_cast<std::size_t>(end - begin), 0.0);
    for (int p = begin; p < end; ++p) at[static_cast<std::size_t>(row[p])] = p;
    for (int p = begin; p < end; ++p) {
      const int r = row[p];
      double mine = l[p] * diagonal_[static_cast<std::size_t>(r)];
      for (int t = first[r]; t < first[r + 1]; ++t) {
        const int q = at[static_cast<std::size_t>(row[t])];
        if (q < 0) continue;
        sum[static_cast<std::size_t>(q - begin)] += l[p] * z[t];
        mine += l[q] * z[t];
      }
      sum[static_cast<std::size_t>(p - begin)] += mine;
    }
    double own = 1.0 / diagonal[j];
    for (int p = begin; p < end; ++p) {
      z[p] = -sum[static_cast<std::size_t>(p - begin)];
      own -= l[p] * z[p];
      at[static_cast<std::size_t>(row[p])] = -1;
    }
    diagonal_[static_cast<std::size_t>(j)] = own;
  }
}

double SelectedInverse::operator()(int i, int j) const {
  if (i == j) return diagonal_[static_cast<std::size_t>(i)];
  const int r = std::max(i, j), c = std::min(i, j);
  const int* row = lower_->innerIndexPtr();
  const int* begin = row + lower_->outerIndexPtr()[c];
  const int* end = row + lower_->outerIndexPtr()[c + 1];
  const int* found = std::lower_bound(begin, end, r);
  if (found == end || *found != r) throw std::out_of_range("no such entry of the selected inverse");
  return entries_[static_cast<std::size_t>(found - row)];
}

}  // namespace solotaxi::terrain
