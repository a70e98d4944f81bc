#include "cutting/frequency_response.hpp"

namespace hushmill::cutting {

std::complex<double> response_m_n(const std::vector<Mode>& modes, double hz) {
  std::complex<double> sum;
  for (const Mode& mode : modes) {
    const double r = hz / mode.natural_hz;
    sum += 1.0 / (mode.stiffness_n_m * std::complex<double>(1.0 - r * r, 2.0 * mode.damping_ratio * r));
  }
  return sum;
}

TipResponse tip_response(const Structure& structure, double hz) {
  return {response_m_n(structure.tool_x, hz) + response_m_n(structure.part_x, hz),
          response_m_n(structure.tool_y, hz) + response_m_n(structure.part_y, hz)};
}

}  // namespace hushmill::cutting
