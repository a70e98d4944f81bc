// Window figures. "Harris 1978" is Harris, "On the Use of Windows for Harmonic Analysis with the Discrete Fourier
// Transform", Proc. IEEE 66 (1978), table I, its digits from memory; "computed" figures come from the window's
// transform, calculated once, separately, in double precision, and are no published values.
#include "signal/window.hpp"

#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>
#include <stdexcept>
#include <string>
#include <vector>

#include "support/catch.hpp"

using namespace hushmill;
using signal::WindowKind;
using test::WithinAbs;
using test::WithinRel;

namespace {

constexpr std::size_t kWindowSize = 1024;

// |W(d)| at d bins off the centre, over its value at the centre.
double response(const std::vector<float>& window, double bins) {
  std::complex<double> sum = 0;
  double whole = 0;
  const double step = -2.0 * std::numbers::pi * bins / static_cast<double>(window.size());
  for (std::size_t n = 0; n < window.size(); ++n) {
    sum += static_cast<double>(window[n]) * std::polar(1.0, step * static_cast<double>(n));
    whole += static_cast<double>(window[n]);
  }
  return std::abs(sum) / whole;
}

double response_db(const std::vector<float>& window, double bins) { return 20.0 * std::log10(response(window, bins)); }

// Where the main lobe has fallen by so much, both sides together.
double width_bins(const std::vector<float>& window, double down_db) {
  double low = 0;
  double high = 6;
  for (double d = 0; d < 6; d += 0.05)
    if (response_db(window, d) < -down_db) {
      high = d;
      break;
    }
  for (int turn = 0; turn < 40; ++turn) {
    const double middle = 0.5 * (low + high);
    (response_db(window, middle) > -down_db ? low : high) = middle;
  }
  return 2 * low;
}

// Highest lobe beyond the first minimum outside the main lobe (whose top may ripple, as a flat top's does).
double highest_sidelobe_db(const std::vector<float>& window) {
  constexpr double kStep = 1.0 / 32.0;
  double before = 1;
  double d = kStep;
  for (; d < 12; d += kStep) {
    const double now = response(window, d);
    if (now > before && now < 0.5) break;
    before = now;
  }
  double most = 0;
  for (; d < 24; d += kStep) most = std::max(most, response(window, d));
  return 20.0 * std::log10(most);
}

// The symmetric window of N points is the periodic one of N − 1 points with its first point repeated at the end.
std::vector<float> symmetric(WindowKind kind, std::size_t points) {
  auto window = signal::make_window(kind, points - 1);
  window.push_back(window.front());
  return window;
}

struct Figures {
  const char* name;
  WindowKind kind;
  double noise_bandwidth, scallop_db, sidelobe_db, width_3_db, width_6_db;  // computed
};
constexpr Figures kFigures[] = {
    {"rectangular", WindowKind::rectangular, 1.0000, 3.9224, -13.26, 0.8859, 1.2067},
    {"Hann", WindowKind::hann, 1.5000, 1.4236, -31.47, 1.4406, 2.0000},
    {"Hamming", WindowKind::hamming, 1.3628, 1.7514, -42.68, 1.3030, 1.8152},
    {"Blackman", WindowKind::blackman, 1.7268, 1.0989, -58.11, 1.6437, 2.2988},
    {"Blackman-Harris, 4 terms", WindowKind::blackman_harris, 2.0044, 0.8256, -92.01, 1.8995, 2.6664},
    {"Nuttall, 4 terms", WindowKind::nuttall, 1.9761, 0.8506, -98.17, 1.8719, 2.6287},
    {"flat top", WindowKind::flat_top, 3.7702, 0.0098, -93.03, 3.7247, 4.5829},
};

}  // namespace

TEST_CASE("windows have the noise bandwidth, scalloping, width and sidelobes that their formula gives") {  // computed
  for (const Figures& expected : kFigures) {
    INFO(expected.name);
    const auto window = signal::make_window(expected.kind, kWindowSize);
    CHECK_THAT(signal::noise_bandwidth_bins(window), WithinAbs(expected.noise_bandwidth, 1e-4));
    CHECK_THAT(-response_db(window, 0.5), WithinAbs(expected.scallop_db, 1e-4));
    CHECK_THAT(width_bins(window, 20.0 * std::log10(std::sqrt(2.0))), WithinAbs(expected.width_3_db, 1e-3));
    CHECK_THAT(width_bins(window, 20.0 * std::log10(2.0)), WithinAbs(expected.width_6_db, 1e-3));
    CHECK_THAT(highest_sidelobe_db(window), WithinAbs(expected.sidelobe_db, 0.1));
  }
}

TEST_CASE("windows agree with Harris 1978 to its printed digits") {  // digits from memory
  // Left out: Hamming's scalloping and Blackman's 3 dB width, where the remembered digits differ from what the
  // coefficients give (1.78 against 1.75 dB, 1.68 against 1.64 bins).
  const auto figures = [](WindowKind kind) { return signal::make_window(kind, kWindowSize); };
  const auto rectangular = figures(WindowKind::rectangular);
  const auto hann = figures(WindowKind::hann);
  const auto hamming = figures(WindowKind::hamming);
  const auto blackman = figures(WindowKind::blackman);
  const auto blackman_harris = figures(WindowKind::blackman_harris);
  CHECK_THAT(signal::noise_bandwidth_bins(rectangular), WithinAbs(1.00, 0.005));
  CHECK_THAT(signal::noise_bandwidth_bins(hann), WithinAbs(1.50, 0.005));
  CHECK_THAT(signal::noise_bandwidth_bins(hamming), WithinAbs(1.36, 0.005));
  CHECK_THAT(signal::noise_bandwidth_bins(blackman), WithinAbs(1.73, 0.005));
  CHECK_THAT(signal::noise_bandwidth_bins(blackman_harris), WithinAbs(2.00, 0.005));
  CHECK_THAT(-response_db(rectangular, 0.5), WithinAbs(3.92, 0.005));
  CHECK_THAT(-response_db(hann, 0.5), WithinAbs(1.42, 0.005));
  CHECK_THAT(-response_db(blackman, 0.5), WithinAbs(1.10, 0.005));
  CHECK_THAT(-response_db(blackman_harris, 0.5), WithinAbs(0.83, 0.005));
  CHECK_THAT(highest_sidelobe_db(rectangular), WithinAbs(-13, 0.5));
  CHECK_THAT(highest_sidelobe_db(hann), WithinAbs(-32, 0.6));
  CHECK_THAT(highest_sidelobe_db(hamming), WithinAbs(-43, 0.5));
  CHECK_THAT(highest_sidelobe_db(blackman), WithinAbs(-58, 0.5));
  CHECK_THAT(highest_sidelobe_db(blackman_harris), WithinAbs(-92, 0.5));
}

TEST_CASE("noise bandwidths of symmetric windows agree with a general-purpose numerical library") {
  // The MathWorks, reference page of the function "enbw", releases 2021 and later (seen): 1000 points Hamming 1.3638
  // bins; 10000 points flat top at 44.1 kHz 16.6285 Hz; 128 points Hann at 1 kHz 11.8110 Hz; 1000 points Hann at 10 kHz
  // 15.0150 Hz. Its definition, N·Σw²/(Σw)², is equation 11 of Harris 1978.
  const auto bandwidth_hz = [](WindowKind kind, std::size_t points, double rate_hz) {
    return signal::noise_bandwidth_bins(symmetric(kind, points)) * rate_hz / static_cast<double>(points);
  };
  CHECK_THAT(bandwidth_hz(WindowKind::hamming, 1000, 1000), WithinAbs(1.3638, 5e-5));
  CHECK_THAT(bandwidth_hz(WindowKind::flat_top, 10000, 44100), WithinAbs(16.6285, 5e-5));
  CHECK_THAT(bandwidth_hz(WindowKind::hann, 128, 1000), WithinAbs(11.8110, 5e-5));
  CHECK_THAT(bandwidth_hz(WindowKind::hann, 1000, 10000), WithinAbs(15.0150, 5e-5));
}

TEST_CASE("noise bandwidth and gain follow from the coefficients") {  // exact algebra: (a0² + Σ am²/2)/a0², and a0
  for (const Figures& figures : kFigures) {
    INFO(figures.name);
    const auto a = signal::window_coefficients(figures.kind);
    double squares = a[0] * a[0];
    for (std::size_t m = 1; m < a.size(); ++m) squares += 0.5 * a[m] * a[m];
    for (const std::size_t size : {16U, 480U, 4096U}) {
      const auto window = signal::make_window(figures.kind, size);
      CHECK_THAT(signal::noise_bandwidth_bins(window), WithinRel(squares / (a[0] * a[0]), 1e-6));
      CHECK_THAT(signal::coherent_gain(window), WithinRel(a[0], 1e-6));
    }
  }
}

TEST_CASE("windows are periodic: symmetric but for the missing last point, highest in the middle") {
  for (const Figures& figures : kFigures) {
    INFO(figures.name);
    const auto window = signal::make_window(figures.kind, kWindowSize);
    for (std::size_t n = 1; n < kWindowSize; ++n)
      REQUIRE_THAT(static_cast<double>(window[n]), WithinAbs(static_cast<double>(window[kWindowSize - n]), 1e-6));
    CHECK_THAT(static_cast<double>(window[kWindowSize / 2]), WithinAbs(1.0, 1e-6));
  }
}

TEST_CASE("a window of no points is refused in one line") {
  try {
    signal::make_window(WindowKind::hann, 0);
    FAIL("it was accepted");
  } catch (const std::invalid_argument& error) {
    CHECK(std::string(error.what()) == "window size is 0; at least 1 would be right");
  }
}
