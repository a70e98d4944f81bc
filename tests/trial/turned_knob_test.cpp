// A knob that was turned without a word: heard in a quiet cut, and not made up. All sounds are invented lines.
#include "trial/turned_knob.hpp"

#include <cmath>
#include <vector>

#include "support/catch.hpp"
#include "support/chance.hpp"

using namespace hushmill;
using test::WithinAbs;

namespace {

constexpr double kKnobHopS = 256 / 24000.0;

/// A cut with teeth and runout at `rpm`, four flutes, in noise; 6800 rev/min are entered.
struct KnobCut {
  KnobCut() {
    snapshot.entered_rpm = 6800;
    snapshot.flutes = 4;
    snapshot.bin_hz = 12;
    snapshot.room_dbfs.assign(800, -95.0F);
    snapshot.verdict = listen::Verdict::steady;
  }
  void to(double t_s, double rpm, double extra_spacing_hz = 0) {
    while (snapshot.t_s + kKnobHopS <= t_s) {
      snapshot.t_s += kKnobHopS;
      snapshot.peaks.clear();
      const double rotation_hz = (rpm + drift_rpm_s * snapshot.t_s) / 60;
      for (const int order : {1, 2, 4, 5, 8, 9, 11, 12, 13}) add(order * rotation_hz + chance.uniform(-0.3, 0.3), order % 4 == 0 ? -30 : -45);
      for (int i = 0; i < 30; ++i) add(chance.uniform(60, 9000), -48);
      if (extra_spacing_hz > 0)
        for (int k = 1; k < 20; ++k) add(k * extra_spacing_hz, -40);
      knob.process(snapshot);
    }
  }
  void add(double hz, double dbfs) {
    listen::Peak peak;
    peak.hz = hz;
    peak.dbfs = dbfs;
    snapshot.peaks.push_back(peak);
  }

  test::Chance chance{7};
  double drift_rpm_s = 0;
  listen::Snapshot snapshot;
  trial::TurnedKnob knob;
};

}  // namespace

TEST_CASE("a knob turned in a quiet cut is heard within two seconds, to a rev/min or so") {
  KnobCut cut;
  cut.to(3, 6798);
  CHECK_FALSE(cut.knob.heard());
  cut.to(5, 6117);
  REQUIRE(cut.knob.heard());
  CHECK_THAT(cut.knob.heard()->spindle_rpm, WithinAbs(6117, 4));
  CHECK(cut.knob.heard()->flutes == 4);
  cut.snapshot.entered_rpm = 6120;  // now it was said
  cut.to(8, 6117);
  CHECK_FALSE(cut.knob.heard());
}

TEST_CASE("nothing is said of a speed that still moves, of chatter, of noise, or of a comb that the listener holds") {
  KnobCut moving;
  moving.drift_rpm_s = -100;
  moving.to(6, 6500);
  CHECK_FALSE(moving.knob.heard());

  KnobCut chattering;
  chattering.snapshot.verdict = listen::Verdict::chatter;
  chattering.to(6, 6117);
  CHECK_FALSE(chattering.knob.heard());

  KnobCut held;
  held.snapshot.measured_rpm = 6790;
  held.to(6, 6117);
  CHECK_FALSE(held.knob.heard());

  KnobCut noise;
  while (noise.snapshot.t_s < 6) {
    noise.snapshot.t_s += kKnobHopS;
    noise.snapshot.peaks.clear();
    for (int i = 0; i < 40; ++i) noise.add(noise.chance.uniform(60, 9000), -48);
    noise.knob.process(noise.snapshot);
  }
  CHECK_FALSE(noise.knob.heard());
}

TEST_CASE("another machine beside a cut at the entered speed does not unseat it") {
  KnobCut cut;
  cut.to(6, 6798, 137);
  CHECK_FALSE(cut.knob.heard());
}
