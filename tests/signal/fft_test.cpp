#include "signal/fft.hpp"

#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>
#include <stdexcept>
#include <string>
#include <vector>

#include "signal/reference_fft.hpp"
#include "signal/sines.hpp"
#include "support/catch.hpp"

using namespace hushmill;
using test::WithinAbs;

namespace {

std::vector<std::complex<double>> ours(const std::vector<float>& samples) {
  signal::RealFft fft(samples.size());
  std::vector<std::complex<float>> bins(fft.size_bins());
  fft.process(samples, bins);
  return {bins.begin(), bins.end()};
}

// The definition written out.
std::vector<std::complex<double>> by_definition(const std::vector<float>& samples) {
  const std::size_t size = samples.size();
  std::vector<std::complex<double>> bins(size / 2 + 1);
  for (std::size_t k = 0; k < bins.size(); ++k)
    for (std::size_t n = 0; n < size; ++n)
      bins[k] +=
          static_cast<double>(samples[n]) *
          std::polar(1.0, -2.0 * std::numbers::pi * static_cast<double>(k * n % size) / static_cast<double>(size));
  return bins;
}

// Largest difference over the largest value.
double disagreement(const std::vector<std::complex<double>>& a, const std::vector<std::complex<double>>& b) {
  REQUIRE(a.size() == b.size());
  double most = 0;
  double difference = 0;
  for (std::size_t k = 0; k < a.size(); ++k) {
    most = std::max(most, std::abs(b[k]));
    difference = std::max(difference, std::abs(a[k] - b[k]));
  }
  REQUIRE(most > 0);
  return difference / most;
}

}  // namespace

TEST_CASE(
    "the transform agrees with FFTW to a millionth of the maximum") {  // FFTW: Debian's libfftw3, double precision
  for (const std::size_t size : {2U, 6U, 10U, 64U, 480U, 960U, 1200U, 2048U, 3600U, 4096U, 6000U, 16384U, 30000U}) {
    INFO("size " << size);
    const auto noise = test::white_noise(size, 0.3, size);
    CHECK(disagreement(ours(noise), test::reference_fft({noise.begin(), noise.end()})) < 1e-6);
    const auto tone = test::cosine(size, 0.21 * static_cast<double>(size), 1.0, 0.7);
    CHECK(disagreement(ours(tone), test::reference_fft({tone.begin(), tone.end()})) < 1e-6);
  }
}

TEST_CASE("the transform agrees with its definition written out") {
  for (const std::size_t size : {2U, 4U, 30U, 128U, 360U}) {
    INFO("size " << size);
    const auto noise = test::white_noise(size, 1.0, 7 + size);
    CHECK(disagreement(ours(noise), by_definition(noise)) < 1e-6);
  }
}

TEST_CASE("sizes on which KissFFT would allocate are refused in one line that names the size") {
  for (const std::size_t size : {0U, 1U, 3U, 7U, 14U, 22U, 1023U, 4098U, 44100U}) {
    INFO("size " << size);
    try {
      signal::RealFft fft(size);
      FAIL("the size was accepted");
    } catch (const std::invalid_argument& error) {
      const std::string text = error.what();
      CHECK(text.find("transform size is " + std::to_string(size) + ";") == 0);
      CHECK(text.find("would be right") != std::string::npos);
      CHECK(text.find('\n') == std::string::npos);
    }
  }
}

TEST_CASE("the next acceptable size is the smallest one that is even and made of 2, 3 and 5") {
  CHECK(signal::fft_size_at_least(0) == 2);
  CHECK(signal::fft_size_at_least(3) == 4);
  CHECK(signal::fft_size_at_least(7) == 8);
  CHECK(signal::fft_size_at_least(4096) == 4096);
  CHECK(signal::fft_size_at_least(4097) == 4320);
  const auto made_of_2_3_5 = [](std::size_t n) {
    for (const std::size_t f : {2U, 3U, 5U})
      while (n % f == 0) n /= f;
    return n == 1;
  };
  for (std::size_t wanted = 2; wanted < 3000; ++wanted) {
    const std::size_t size = signal::fft_size_at_least(wanted);
    REQUIRE(size >= wanted);
    REQUIRE(size % 2 == 0);
    REQUIRE(made_of_2_3_5(size));
    for (std::size_t smaller = wanted + wanted % 2; smaller < size; smaller += 2) REQUIRE_FALSE(made_of_2_3_5(smaller));
  }
}
