// Poles of decaying sinusoids from a few short sequences at once, by the shift of their common signal subspace.
//
// R. Roy, T. Kailath, "ESPRIT - estimation of signal parameters via rotational invariance techniques", IEEE Trans. ASSP 37 (1989)
// 984-995 (from memory), on the Hankel matrices of all sequences side by side. Exact without noise; with noise a good first guess.
// Pure; any thread; cost about the cube of half the length.
#pragma once

#include <Eigen/Core>
#include <complex>
#include <vector>

namespace hushmill::tap {

/// One sequence a column. Gives for each order in `orders` as many z, the factor from one sample to the next. Orders that half the
/// length cannot hold are left out.
std::vector<std::vector<std::complex<double>>> subspace_poles(const Eigen::MatrixXcd& sequences, const std::vector<int>& orders);

}  // namespace hushmill::tap
