#include "signal/reference_fft.hpp"

#include <fftw3.h>

namespace hushmill::test {

std::vector<std::complex<double>> reference_fft(std::vector<double> samples) {
  std::vector<std::complex<double>> bins(samples.size() / 2 + 1);
  fftw_plan plan = fftw_plan_dft_r2c_1d(static_cast<int>(samples.size()), samples.data(),
                                        reinterpret_cast<fftw_complex*>(bins.data()), FFTW_ESTIMATE);
  fftw_execute(plan);
  fftw_destroy_plan(plan);
  return bins;
}

}  // namespace hushmill::test
