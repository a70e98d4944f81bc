#include "advise/one_mode_lobes.hpp"

#include "cutting/speeds.hpp"
#include "support/catch.hpp"

namespace {

using namespace hushmill::advise;
using hushmill::cutting::in_phase_rpm;
using hushmill::test::WithinRel;

constexpr double kHz = 922;
constexpr double kDamping = 0.011;
constexpr OneMode kAbove{kHz, kDamping, true};
constexpr OneMode kBelow{kHz, kDamping, false};

TEST_CASE("gains agree with the zero-order limits of the two-tooth benchmark") {
  // Computed: limit over lowest limit, slot 0.3699 / 0.29805 and 0.3069 / 0.29805; climb at half engagement
  // 0.9218 / 0.64091 and 3.0182 / 0.64091.
  CHECK_THAT(depth_gain(kAbove, 2, 5000), WithinRel(0.3699 / 0.29805, 2e-3));
  CHECK_THAT(depth_gain(kAbove, 2, 10000), WithinRel(0.3069 / 0.29805, 2e-3));
  CHECK_THAT(depth_gain(kBelow, 2, 5000), WithinRel(0.9218 / 0.64091, 2e-3));
  CHECK_THAT(depth_gain(kBelow, 2, 10000), WithinRel(3.0182 / 0.64091, 2e-3));
}

TEST_CASE("the lowest limit in turning form stands at its speeds") {
  // Computed: 500 Hz, damping 0.05, one tooth: lowest limit at these speeds.
  for (const double rpm : {41532.5, 17902.0, 11410.1, 8373.5})
    CHECK_THAT(depth_gain({500, 0.05, true}, 1, rpm), WithinRel(1.0, 1e-6));
}

TEST_CASE("a pocket lies on one side of the in-phase speed and ends in a wall there") {
  for (int k = 1; k <= 6; ++k) {
    const double n = in_phase_rpm(kHz, 2, k);
    CHECK(depth_gain(kAbove, 2, 0.99 * n) > depth_gain(kAbove, 2, 1.02 * n));
    CHECK(depth_gain(kBelow, 2, 1.01 * n) > depth_gain(kBelow, 2, 0.98 * n));
    CHECK(depth_gain(kAbove, 2, 0.995 * n) > 2);
  }
}

TEST_CASE("pockets get shallower as waves per tooth grow") {
  const auto best = [](int k) {
    double gain = 0;
    for (double x = 0.9; x < 1.0; x += 1e-4) gain = std::max(gain, depth_gain(kAbove, 2, x * in_phase_rpm(kHz, 2, k)));
    return gain;
  };
  for (int k = 2; k <= 8; ++k) CHECK(best(k) > best(k + 1));
}

TEST_CASE("gains stay finite and at least one") {
  for (const OneMode& mode : {kAbove, kBelow}) {
    for (double rpm = 10; rpm < 200000; rpm *= 1.05) {
      CHECK(depth_gain(mode, 2, rpm) >= 1);
      CHECK(depth_gain(mode, 2, rpm) <= kMostGain);
    }
  }
}

}  // namespace
