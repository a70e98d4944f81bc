// The transform by FFTW in double precision: a general-purpose reference library, independent of KissFFT.
#pragma once

#include <complex>
#include <vector>

namespace hushmill::test {

/// X[k] = Σ x[n]·exp(−2πi·k·n/N), k = 0 … N/2.
std::vector<std::complex<double>> reference_fft(std::vector<double> samples);

}  // namespace hushmill::test
