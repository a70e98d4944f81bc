#include "listen/background.hpp"

#include <cmath>

#include "signal/decibel.hpp"
#include "signal/spectrum.hpp"
#include "support/additive_shop.hpp"
#include "support/catch.hpp"

using namespace hushmill;
using test::WithinAbs;

namespace {
constexpr std::size_t kFrame = 1800;
constexpr double kRate = 24000;
constexpr double kRowS = 256.0 / 24000.0;

struct Bench {
  signal::Spectrum spectrum{kFrame, kRate};
  listen::Background background{spectrum.size_bins(), kRowS};
  std::vector<std::uint8_t> held = std::vector<std::uint8_t>(spectrum.size_bins(), 0);
  test::Chance chance{7};
  std::vector<float> frame = std::vector<float>(kFrame);

  void row(double tone_amplitude, std::size_t tone_bin) {
    for (std::size_t n = 0; n < kFrame; ++n) {
      const double turn = 2.0 * 3.14159265358979 * static_cast<double>(tone_bin * n) / static_cast<double>(kFrame);
      frame[n] = static_cast<float>(0.01 * chance.normal() + tone_amplitude * std::sin(turn));
    }
    spectrum.process(frame);
    background.process(spectrum.power(), held);
  }
};
}  // namespace

TEST_CASE("the floor of white noise is its mean power within half a decibel") {
  Bench bench;
  double power = 0, floor = 0;
  for (int row = 0; row < 300; ++row) {
    bench.row(0, 0);
    for (std::size_t k = 60; k < 840; ++k) {
      power += static_cast<double>(bench.spectrum.power()[k]);
      floor += static_cast<double>(bench.background.floor()[k]);
    }
  }
  REQUIRE_THAT(signal::power_db(floor / power), WithinAbs(0.0, 0.5));
}

TEST_CASE("a strong line does not raise the floor under it") {
  Bench bench;
  double quiet = 0, with_line = 0;
  for (int row = 0; row < 60; ++row) {
    bench.row(0, 0);
    quiet += static_cast<double>(bench.background.floor()[300]);
  }
  for (int row = 0; row < 60; ++row) {
    bench.row(0.5, 300);
    with_line += static_cast<double>(bench.background.floor()[300]);
  }
  REQUIRE_THAT(signal::power_db(with_line / quiet), WithinAbs(0.0, 1.5));
}

TEST_CASE("a tone becomes its own background after a second or two, not at once, and not while it is held") {
  const auto history_db = [](bool hold, int rows) {
    Bench bench;
    for (int row = 0; row < 300; ++row) bench.row(0, 0);
    for (std::size_t k = 297; hold && k <= 303; ++k) bench.held[k] = 1;
    for (int row = 0; row < rows; ++row) bench.row(0.1, 300);
    return signal::power_db(static_cast<double>(bench.background.history()[300]));
  };
  CHECK(history_db(false, 20) < -40);    // 0.2 s
  CHECK(history_db(false, 250) > -22);   // 2.7 s: a sine of amplitude 0.1 reads -20 dB
  CHECK(history_db(true, 250) < -40);
}
