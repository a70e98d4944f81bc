// The eigenvalue of greatest magnitude of a linear map that is only known by what it does to a vector.
//
// W.E. Arnoldi, "The principle of minimized iterations in the solution of the matrix eigenvalue problem", Quart. Appl.
// Math. 9 (1951) 17-29. The maps of delay equations have few large eigenvalues and many near zero, so a small space is
// enough. Pure.
#pragma once

#include <Eigen/Dense>
#include <complex>
#include <functional>

namespace hushmill::cutting {

struct DominantMultiplier {
  std::complex<double> value;
  Eigen::VectorXcd vector;  ///< its eigenvector, length 1
  double residual = 0;      ///< |map(vector) − value·vector|
};

/// `map` writes its second argument. Stops when the residual is below `tolerance` or the space is the whole space.
DominantMultiplier dominant_multiplier(Eigen::Index size,
                                       const std::function<void(const Eigen::VectorXd&, Eigen::VectorXd&)>& map,
                                       double tolerance = 1e-7);

}  // namespace hushmill::cutting
