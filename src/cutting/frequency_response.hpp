// Displacement per force at the tool tip, from modes. Pure functions.
#pragma once

#include <complex>
#include <vector>

#include "cutting/mode.hpp"

namespace hushmill::cutting {

/// Sum of the modes at `hz`, m/N: G = Σ (1/k) / (1 − r² + 2iζr), r = hz / natural_hz. None: 0.
std::complex<double> response_m_n(const std::vector<Mode>& modes, double hz);

/// What the cut feels along x and y: tool and part together.
struct TipResponse {
  std::complex<double> x_m_n;
  std::complex<double> y_m_n;
};
TipResponse tip_response(const Structure& structure, double hz);

}  // namespace hushmill::cutting
