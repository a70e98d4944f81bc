#include "cutting/small_exponential.hpp"

#include <cmath>

namespace hushmill::cutting {
namespace {
constexpr int kTerms = 8;  // 0.25^9 / 9! is 1e-11
constexpr double kNorm = 0.25;
}  // namespace

Eigen::MatrixXd small_exponential(const Eigen::MatrixXd& matrix) {
  const double norm = matrix.cwiseAbs().rowwise().sum().maxCoeff();
  const int halvings = norm > kNorm ? static_cast<int>(std::ceil(std::log2(norm / kNorm))) : 0;
  const Eigen::MatrixXd small = matrix * std::ldexp(1.0, -halvings);
  const auto identity = Eigen::MatrixXd::Identity(matrix.rows(), matrix.cols());
  Eigen::MatrixXd sum = identity + small / kTerms;
  Eigen::MatrixXd product(matrix.rows(), matrix.cols());
  for (int term = kTerms - 1; term >= 1; --term) {
    product.noalias() = small * sum;
    sum = identity + product / term;
  }
  for (int i = 0; i < halvings; ++i) {
    product.noalias() = sum * sum;
    sum.swap(product);
  }
  return sum;
}

}  // namespace hushmill::cutting
