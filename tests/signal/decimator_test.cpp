#include "signal/decimator.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <stdexcept>
#include <string>
#include <vector>

#include "signal/sines.hpp"
#include "support/catch.hpp"

using namespace hushmill;
using test::WithinAbs;

namespace {

std::vector<float> decimated(signal::Decimator& decimator, const std::vector<float>& in) {
  std::vector<float> out;
  float sample = 0;
  for (const float x : in)
    if (decimator.process(x, sample)) out.push_back(sample);
  return out;
}

// Gain of a sine, in decibels. `cycles` whole turns in the part that is measured; `cycles`/kOut is the frequency over
// the new rate, before folding.
double gain_db(std::size_t factor, std::size_t cycles) {
  constexpr std::size_t kOut = 2000;
  signal::Decimator decimator(factor);
  const std::size_t settle = (2 * decimator.latency_samples() / factor + 2);
  std::vector<float> in((settle + kOut) * factor);
  const double step = 2.0 * std::numbers::pi * static_cast<double>(cycles) / static_cast<double>(kOut * factor);
  for (std::size_t n = 0; n < in.size(); ++n) in[n] = static_cast<float>(std::cos(step * static_cast<double>(n) + 0.4));
  const auto out = decimated(decimator, in);
  double squares = 0;
  for (std::size_t n = settle; n < settle + kOut; ++n)
    squares += static_cast<double>(out[n]) * static_cast<double>(out[n]);
  return 10.0 * std::log10(2.0 * squares / static_cast<double>(kOut));
}

}  // namespace

TEST_CASE("the pass band, to 0.42 of the new rate, is flat to 0.01 dB") {
  for (const std::size_t factor : {2U, 3U, 4U, 8U})
    for (std::size_t cycles = 1; cycles <= 840; cycles = cycles < 800 ? cycles + 37 : cycles + 3) {
      INFO("factor " << factor << ", " << static_cast<double>(cycles) / 2000 << " of the new rate");
      CHECK_THAT(gain_db(factor, cycles), WithinAbs(0.0, 0.01));
    }
}

TEST_CASE("what would fold into the pass band is 70 dB down, to the tenth that Kaiser's design formula is good for") {
  for (const std::size_t factor : {2U, 3U, 4U, 8U})
    for (std::size_t cycles = 1161; cycles < 1000 * factor; cycles += cycles < 1300 ? 7 : 61) {
      if (cycles % 1000 == 0)
        continue;  // folds to a steady value or to every other sample, whose power depends on phase
      INFO("factor " << factor << ", " << static_cast<double>(cycles) / 2000 << " of the new rate");
      CHECK(gain_db(factor, cycles) < -69.9);
    }
}

TEST_CASE("the delay is what it says") {
  for (const std::size_t factor : {1U, 2U, 3U, 4U, 8U}) {
    INFO("factor " << factor);
    signal::Decimator decimator(factor);
    // An impulse so placed that the middle of its answer falls on an output sample.
    const std::size_t middle = 40 * factor - 1;
    REQUIRE(decimator.latency_samples() < middle);
    std::vector<float> in(80 * factor, 0.0F);
    in[middle - decimator.latency_samples()] = 1.0F;
    const auto out = decimated(decimator, in);
    REQUIRE(out.size() == 80);
    CHECK(std::max_element(out.begin(), out.end()) - out.begin() == 39);
    for (std::size_t n = 1; n < 30; ++n)  // linear phase: the answer is symmetric about that sample
      CHECK_THAT(static_cast<double>(out[39 - n]), WithinAbs(static_cast<double>(out[39 + n]), 1e-7));
  }
}

TEST_CASE("a steady value passes unchanged") {
  for (const std::size_t factor : {1U, 2U, 5U}) {
    signal::Decimator decimator(factor);
    const auto out = decimated(decimator, std::vector<float>(100 * factor, 0.25F));
    REQUIRE(out.size() == 100);
    CHECK_THAT(static_cast<double>(out.back()), WithinAbs(0.25, 1e-6));
  }
}

TEST_CASE("after a reset the decimator is as new") {
  const auto first = test::white_noise(1001, 0.3, 1);
  const auto second = test::white_noise(4000, 0.3, 2);
  signal::Decimator used(4);
  decimated(used, first);
  used.reset();
  signal::Decimator fresh(4);
  CHECK(decimated(used, second) == decimated(fresh, second));
}

TEST_CASE("a factor of nought is refused in one line") {
  try {
    signal::Decimator decimator(0);
    FAIL("it was accepted");
  } catch (const std::invalid_argument& error) {
    CHECK(std::string(error.what()) == "decimation factor is 0; 1 or more would be right");
  }
}
