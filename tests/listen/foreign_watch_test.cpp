#include "listen/foreign_watch.hpp"

#include "support/catch.hpp"
#include "support/made_line.hpp"

using namespace hushmill;

namespace {
constexpr double kLongRowS = 0.043;

// Tones that are called foreign when one of 20 dB over the background stands for so long beside teeth every 400 Hz.
std::vector<listen::ForeignTone> foreign_of(double hz, double seconds, double dbfs = -40, double harmonic_dbfs = -90) {
  listen::ForeignWatch watch(kLongRowS, 0.225);
  const std::vector<signal::Line> lines{test::made_line(hz, dbfs, 20), test::made_line(2 * hz, harmonic_dbfs, 10)};
  for (double t_s = 5; t_s < 5 + seconds; t_s += kLongRowS)
    watch.process(lines, {100, 4, 1e-4, true, true}, 4.4, t_s, 1e-4, [](double of_hz) { return of_hz > 3000; });
  return watch.tones();
}
}  // namespace

TEST_CASE("a tone off the comb that stays half a second is foreign, and may be chatter if it is as loud as the teeth") {
  CHECK(foreign_of(1234, 0.4).empty());
  const auto heard = foreign_of(1234, 1);
  REQUIRE(heard.size() == 1);
  CHECK(heard[0].hz == 1234);
  CHECK(heard[0].may_be_chatter);
  CHECK_FALSE(foreign_of(1234, 1, -50)[0].may_be_chatter);       // 10 dB under the teeth
  CHECK_FALSE(foreign_of(1234, 1, -40, -48)[0].may_be_chatter);  // a voice, a horn
}

TEST_CASE("teeth, runout and what belongs to chatter are no foreign tones") {
  CHECK(foreign_of(1200, 2).empty());
  CHECK(foreign_of(1300, 2).empty());
  CHECK(foreign_of(3233, 2).empty());
  CHECK(foreign_of(1334, 2).size() == 1);
}
