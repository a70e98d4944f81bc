#include "cutting/dominant_multiplier.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>

namespace hushmill::cutting {
namespace {

constexpr Eigen::Index kFirstSpace = 14;
constexpr Eigen::Index kMoreSpace = 8;
constexpr Eigen::Index kLargestSpace = 160;

/// Numbers without pattern, the same every time: no eigenvector is likely to be at a right angle to them.
Eigen::VectorXd start_vector(Eigen::Index size) {
  Eigen::VectorXd start(size);
  std::uint64_t state = 88172645463325252ULL;
  for (Eigen::Index i = 0; i < size; ++i) {
    state ^= state << 13;
    state ^= state >> 7;
    state ^= state << 17;
    start[i] = static_cast<double>(state >> 11) * 0x1.0p-53 - 0.5;
  }
  return start.normalized();
}

}  // namespace

DominantMultiplier dominant_multiplier(Eigen::Index size,
                                       const std::function<void(const Eigen::VectorXd&, Eigen::VectorXd&)>& map,
                                       double tolerance) {
  const Eigen::Index most = std::min(size, kLargestSpace);
  Eigen::MatrixXd basis(size, most + 1);
  Eigen::MatrixXd hessenberg = Eigen::MatrixXd::Zero(most + 1, most);
  Eigen::VectorXd image(size);
  basis.col(0) = start_vector(size);
  DominantMultiplier found;
  Eigen::Index next_look = std::min(kFirstSpace, most);
  for (Eigen::Index j = 0; j < most; ++j) {
    const Eigen::VectorXd from = basis.col(j);
    map(from, image);
    for (int again = 0; again < 2; ++again) {  // twice is enough to stay at right angles
      for (Eigen::Index i = 0; i <= j; ++i) {
        const double part = basis.col(i).dot(image);
        hessenberg(i, j) += part;
        image -= part * basis.col(i);
      }
    }
    const double rest = image.norm();
    hessenberg(j + 1, j) = rest;
    const bool closed = rest < 1e-14;
    if (!closed) basis.col(j + 1) = image / rest;
    if (j + 1 < next_look && !closed) continue;

    const Eigen::Index space = j + 1;
    const Eigen::EigenSolver<Eigen::MatrixXd> solver(hessenberg.topLeftCorner(space, space));
    Eigen::Index largest = 0;
    for (Eigen::Index i = 1; i < space; ++i) {
      if (std::abs(solver.eigenvalues()[i]) > std::abs(solver.eigenvalues()[largest])) largest = i;
    }
    const Eigen::VectorXcd inner = solver.eigenvectors().col(largest);
    found.value = solver.eigenvalues()[largest];
    found.residual = rest * std::abs(inner[space - 1]);
    if (found.residual < tolerance || closed || space == most) {
      found.vector = basis.leftCols(space) * inner;
      return found;
    }
    next_look = std::min(next_look + kMoreSpace, most);
  }
  return found;
}

}  // namespace hushmill::cutting
