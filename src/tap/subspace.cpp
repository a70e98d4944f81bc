#include "tap/subspace.hpp"

#include <Eigen/Eigenvalues>
#include <Eigen/QR>

namespace hushmill::tap {

std::vector<std::vector<std::complex<double>>> subspace_poles(const Eigen::MatrixXcd& sequences, const std::vector<int>& orders) {
  std::vector<std::vector<std::complex<double>>> found;
  const Eigen::Index length = sequences.rows();
  const Eigen::Index window = length / 2;
  if (window < 2 || !sequences.allFinite()) return found;
  const Eigen::Index shifts = length - window + 1;
  Eigen::MatrixXcd hankel(window, shifts * sequences.cols());
  for (Eigen::Index j = 0; j < sequences.cols(); ++j)
    for (Eigen::Index s = 0; s < shifts; ++s) hankel.col(j * shifts + s) = sequences.col(j).segment(s, window);
  const Eigen::SelfAdjointEigenSolver<Eigen::MatrixXcd> space(hankel * hankel.adjoint());
  if (space.info() != Eigen::Success) return found;
  for (const int order : orders) {
    if (order < 1 || order >= window) continue;
    const Eigen::MatrixXcd signal = space.eigenvectors().rightCols(order);
    const Eigen::MatrixXcd shift = signal.topRows(window - 1).colPivHouseholderQr().solve(signal.bottomRows(window - 1));
    const Eigen::ComplexEigenSolver<Eigen::MatrixXcd> turned(shift, false);
    if (turned.info() != Eigen::Success) continue;
    auto& poles = found.emplace_back();
    for (Eigen::Index m = 0; m < order; ++m) poles.push_back(turned.eigenvalues()[m]);
  }
  return found;
}

}  // namespace hushmill::tap
