// Poles of sequences that are exactly sums of decaying exponentials: the method must give them back.
#include "tap/subspace.hpp"

#include <algorithm>
#include <cmath>
#include <complex>
#include <limits>

#include "support/catch.hpp"
#include "support/chance.hpp"

using namespace hushmill;
using Complex = std::complex<double>;

TEST_CASE("exact sequences give back exact poles, also close ones") {
  const std::vector<Complex> poles{std::polar(0.97, 0.5), std::polar(0.99, 0.53), std::polar(0.9, 2.5)};
  test::Chance chance(1);
  Eigen::MatrixXcd x = Eigen::MatrixXcd::Zero(40, 3);
  for (const auto pole : poles)
    for (Eigen::Index j = 0; j < 3; ++j) {
      const Complex amount = std::polar(chance.uniform(0.5, 1), chance.uniform(0, 6));
      for (Eigen::Index n = 0; n < 40; ++n) x(n, j) += amount * std::pow(pole, static_cast<double>(n));
    }
  const auto found = tap::subspace_poles(x, {3});
  REQUIRE(found.size() == 1);
  for (const auto pole : poles) {
    double nearest = 1;
    for (const auto z : found[0]) nearest = std::min(nearest, std::abs(z - pole));
    CHECK(nearest < 1e-6);
  }
}

TEST_CASE("orders that do not fit and numbers that are none give nothing") {
  CHECK(tap::subspace_poles(Eigen::MatrixXcd::Ones(6, 1), {5}).empty());
  CHECK(tap::subspace_poles(Eigen::MatrixXcd::Constant(20, 1, std::numeric_limits<double>::quiet_NaN()), {2}).empty());
}
