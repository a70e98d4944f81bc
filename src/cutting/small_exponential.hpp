// exp of a small square matrix, by its power series after halving, then squared back. Pure.
#pragma once

#include <Eigen/Dense>

namespace hushmill::cutting {

/// Relative error about 1e-11 for the matrices of a few modes.
Eigen::MatrixXd small_exponential(const Eigen::MatrixXd& matrix);

}  // namespace hushmill::cutting
