#include "advise/natural_frequency.hpp"

#include <cmath>

#include "support/catch.hpp"

namespace {

using namespace hushmill::advise;
using hushmill::test::WithinAbs;
using hushmill::test::WithinRel;

TEST_CASE("one viscous mode gives its natural frequency back") {
  // Computed: 500 Hz, damping 0.05, chatter at 524.404 Hz, tooth speed 8373.5 / 60 Hz (turning form, one tooth);
  // formula by Y. Altintas, "Manufacturing Automation" (from memory).
  const NaturalFrequency found = natural_frequency(524.404, 8373.5 / 60, 0.05);
  CHECK(found.chatter_above);
  CHECK_FALSE(found.vague);
  CHECK_THAT(found.middle_hz, WithinRel(500.0, 1e-4));
}

TEST_CASE("the milling benchmark's chatter frequencies lead back to 922 Hz") {
  // Computed, zero-order: 922 Hz, damping 0.011, two teeth; slot and conventional 941.90 Hz at 5000 rev/min, climb
  // 896.70 Hz at 5000 and 823.10 Hz at 10000.
  CHECK_THAT(natural_frequency(941.90, 5000.0 * 2 / 60, 0.011).middle_hz, WithinRel(922.0, 1e-4));
  CHECK_THAT(natural_frequency(929.91, 10000.0 * 2 / 60, 0.011).middle_hz, WithinRel(922.0, 1e-4));
  const NaturalFrequency climb = natural_frequency(896.70, 5000.0 * 2 / 60, 0.011);
  CHECK_FALSE(climb.chatter_above);
  CHECK_THAT(climb.middle_hz, WithinRel(922.0, 1e-4));
}

TEST_CASE("the correction is about the damping ratio at the bottom of a lobe") {
  // Derived: t = 1 at p = 3/4, so f_c / f_n is about 1 + z.
  CHECK_THAT(chatter_over_natural(0.75, 0.01), WithinAbs(1.01, 1e-4));
  CHECK_THAT(chatter_over_natural(0.25, 0.01), WithinAbs(0.99, 1e-4));
}

TEST_CASE("near half a wave the answer widens instead of pretending") {
  const NaturalFrequency clear = natural_frequency(1000, 1000 / 3.75, std::nullopt);
  const NaturalFrequency vague = natural_frequency(1000, 1000 / 3.52, std::nullopt);
  CHECK_FALSE(clear.vague);
  CHECK(vague.vague);
  CHECK(vague.low_hz < 1000);
  CHECK(vague.high_hz > 1000);
  CHECK(vague.high_hz - vague.low_hz > 4 * (clear.high_hz - clear.low_hz));
}

TEST_CASE("a tap test narrows the range") {
  const NaturalFrequency untapped = natural_frequency(1000, 1000 / 3.7, std::nullopt);
  const NaturalFrequency tapped = natural_frequency(1000, 1000 / 3.7, kDampingMedian);
  CHECK(tapped.middle_hz == untapped.middle_hz);
  CHECK(tapped.high_hz - tapped.low_hz < 0.5 * (untapped.high_hz - untapped.low_hz));
}

TEST_CASE("every phase gives finite, ordered numbers around the chatter frequency") {
  for (int i = 0; i < 1000; ++i) {
    const double waves = 0.103 + 0.01 * i;  // never exactly whole: there the two sides meet
    const NaturalFrequency found = natural_frequency(1000, 1000 / waves, std::nullopt);
    CHECK(std::isfinite(found.low_hz));
    CHECK(found.low_hz > 0);
    CHECK(found.low_hz <= found.middle_hz);
    CHECK(found.middle_hz <= found.high_hz);
    CHECK((found.middle_hz <= 1000) == found.chatter_above);
  }
}

}  // namespace
