#include "rig/rig.hpp"

#include <cmath>
#include <limits>
#include <stdexcept>
#include <utility>
#include <vector>

#include "benchmark_cut.hpp"
#include "rig/rig_settings.hpp"
#include "rig/trial.hpp"
#include "support/catch.hpp"

using namespace hushmill;
using test::WithinAbs;
using test::WithinRel;

namespace {

std::vector<float> sound_of(rig::Rig& rig, std::size_t samples, std::size_t block) {
  std::vector<float> sound(samples);
  for (std::size_t at = 0; at < samples; at += block) {
    rig.process(std::span(sound).subspan(at, std::min(block, samples - at)));
  }
  return sound;
}

double level_dbfs(std::span<const float> sound) {
  double sum = 0;
  for (const float sample : sound) sum += static_cast<double>(sample) * static_cast<double>(sample);
  return 10.0 * std::log10(sum / static_cast<double>(sound.size()));
}

/// Level of the loudest line between two frequencies, by a plain Fourier sum on a fine grid.
double loudest_hz(const std::vector<double>& track, double rate_hz, double from_hz, double to_hz) {
  double best = 0;
  double best_hz = 0;
  for (double hz = from_hz; hz <= to_hz; hz += 0.5) {
    double re = 0;
    double im = 0;
    for (std::size_t i = 0; i < track.size(); ++i) {
      const double share = static_cast<double>(i) / static_cast<double>(track.size());
      const double window = 0.5 - 0.5 * std::cos(2.0 * cutting::kPi * share);
      const double turn = 2.0 * cutting::kPi * hz * static_cast<double>(i) / rate_hz;
      re += window * track[i] * std::cos(turn);
      im += window * track[i] * std::sin(turn);
    }
    if (re * re + im * im > best) {
      best = re * re + im * im;
      best_hz = hz;
    }
  }
  return best_hz;
}

}  // namespace

TEST_CASE("Equal settings give equal sound however the samples are asked for, another seed another sound") {
  const rig::RigSettings settings = rig::bracket_wall();
  rig::Rig whole(settings);
  const std::vector<float> expected = sound_of(whole, 9000, 9000);
  for (const std::size_t block : {std::size_t{1}, std::size_t{7}, std::size_t{64}, std::size_t{4096}}) {
    rig::Rig again(settings);
    CHECK(sound_of(again, 9000, block) == expected);
  }
  rig::RigSettings other = settings;
  other.seed = 2;
  rig::Rig different(other);
  CHECK(sound_of(different, 9000, 9000) != expected);
}

TEST_CASE("The random numbers are the same with every compiler") {
  // Computed separately from the published recurrence, with whole numbers of any size.
  rig::Random random(42);
  CHECK(random.next() == 13679457532755275413ULL);
  CHECK(random.next() == 2949826092126892291ULL);
}

TEST_CASE("A healthy cut has the level that was asked for at every sample rate") {
  for (const double rate_hz : {16000.0, 22050.0, 44100.0, 48000.0, 96000.0, 192000.0}) {
    rig::RigSettings settings = rig::bracket_wall();
    settings.sample_rate_hz = rate_hz;
    settings.sound.healthy_dbfs = -22;
    rig::Rig rig(settings);
    sound_of(rig, static_cast<std::size_t>(0.4 * rate_hz), 480);
    const std::vector<float> sound = sound_of(rig, static_cast<std::size_t>(0.4 * rate_hz), 480);
    INFO(rate_hz << " Hz");
    CHECK_THAT(level_dbfs(sound), WithinAbs(-22, 1.5));
    CHECK(rig.truth().steady);
    CHECK_FALSE(rig.truth().teeth_leave_cut);
  }
}

TEST_CASE("Out of the cut only the room and the spindle are heard, and the cut comes and goes as asked") {
  rig::RigSettings settings = rig::bracket_wall();
  settings.start.in_cut = false;
  rig::Rig rig(settings);
  const double quiet = level_dbfs(sound_of(rig, 24000, 480));
  CHECK(quiet < -54);
  CHECK(quiet > -62);
  CHECK(rig.truth().depth_mm == 0);
  rig::RigControls controls = rig.controls();
  controls.in_cut = true;
  rig.turn(controls);
  CHECK(level_dbfs(sound_of(rig, 24000, 480)) > quiet + 20);
  CHECK_THAT(rig.truth().depth_mm, WithinRel(1.2, 1e-6));
  controls.in_cut = false;
  rig.turn(controls);
  sound_of(rig, 48000, 480);  // the room rings down
  CHECK_THAT(level_dbfs(sound_of(rig, 24000, 480)), WithinAbs(quiet, 1.0));
}

TEST_CASE("Scenes start healthy, chatter when deeper, and are cured by the speed that is named") {
  const std::vector<std::pair<rig::RigSettings, double>> scenes{{rig::bracket_wall(), 6000}, {rig::rail_slot(), 4450}};
  for (const auto& [settings, cure_rpm] : scenes) {
    rig::Rig rig(settings);
    sound_of(rig, 48000, 480);
    CHECK(rig.truth().steady);
    CHECK(rig.truth().chatter_rms < 0.1 * rig.truth().synchronous_rms);
    rig::RigControls controls = rig.controls();
    controls.depth_mm *= 2.5;
    rig.turn(controls);
    const double healthy_level = settings.sound.healthy_dbfs;
    sound_of(rig, 48000, 480);
    CHECK(level_dbfs(sound_of(rig, 24000, 480)) > healthy_level + 10);
    CHECK(rig.truth().chatter_rms > 0.5 * rig.truth().synchronous_rms);
    CHECK(rig.truth().teeth_leave_cut);
    controls.spindle_rpm = cure_rpm;
    rig.turn(controls);
    sound_of(rig, 48000, 480);
    CHECK(rig.truth().chatter_rms < 0.1 * rig.truth().synchronous_rms);
    CHECK_FALSE(rig.truth().teeth_leave_cut);
  }
}

TEST_CASE("The pocket chatters in its inside corners and the even pocket does not") {
  for (const rig::Path kind : {rig::Path::pocket, rig::Path::even_pocket}) {
    rig::RigSettings settings = rig::tray_pocket();
    settings.path.kind = kind;
    rig::Rig rig(settings);
    bool lifted = false;
    double widest = 0;
    std::vector<float> block(480);
    for (int i = 0; i < 1000; ++i) {
      rig.process(block);
      if (i > 20) lifted = lifted || rig.truth().teeth_leave_cut;
      widest = std::max(widest, rig.truth().arc_deg);
    }
    if (kind == rig::Path::pocket) {
      CHECK(widest > 135);
      CHECK(lifted);
    } else {
      CHECK_THAT(widest, WithinAbs(std::acos(1.0 - 2.0 * settings.start.radial_mm / 10) * 180 / cutting::kPi, 0.1));
      CHECK_FALSE(lifted);
    }
  }
}

TEST_CASE("Growth per tooth of the benchmark cut is the spectral radius of the linear theory") {
  // Computed values (converged, by Richardson extrapolation; not published).
  using cutting::Milling;
  const cutting::CutModel model = test::benchmark_model();
  CHECK_THAT(test::growth(test::bare_cut(model, 5000, 1, Milling::climb, 0.2), 96000, 10, 30).per_tooth,
             WithinAbs(0.81974, 0.002));
  CHECK_THAT(test::growth(test::bare_cut(model, 5000, 1, Milling::conventional, 0.2), 96000, 10, 30).per_tooth,
             WithinAbs(0.81974, 0.002));
  // At the limits of depth the growth is 1; the last two lose stability by period doubling.
  CHECK_THAT(test::growth(test::bare_cut(model, 7500, 0.05, Milling::climb, 2.6231), 96000).per_tooth,
             WithinAbs(1.0, 0.01));
  CHECK_THAT(test::growth(test::bare_cut(model, 7500, 0.5, Milling::climb, 1.6120), 96000).per_tooth,
             WithinAbs(1.0, 0.01));
  CHECK_THAT(test::growth(test::bare_cut(model, 10000, 1, Milling::climb, 0.3224), 96000).per_tooth,
             WithinAbs(1.0, 0.01));
  CHECK_THAT(test::growth(test::bare_cut(model, 12500, 1, Milling::climb, 2.7070), 96000).per_tooth,
             WithinAbs(1.0, 0.01));
}

TEST_CASE("Chatter of the benchmark cut sings at the computed frequency") {
  // Computed values: 933.9 Hz at 7500 rpm in the slot, limit 0.3206 mm. Just beyond the limit the frequency is that of
  // the limit.
  const rig::RigSettings settings =
      test::bare_cut(test::benchmark_model(), 7500, 1, cutting::Milling::climb, 0.3206 * 1.02);
  rig::Machine machine(settings, 96000);
  for (int i = 0; i < 96000; ++i) machine.step();
  std::vector<double> track;
  for (int i = 0; i < 8 * 9600; ++i) {
    machine.step();
    if (i % 8 == 0) track.push_back(machine.vibration_m().x);
  }
  CHECK_THAT(loudest_hz(track, 12000, 800, 990), WithinRel(933.9, 0.005));
}

TEST_CASE("Beyond a period-doubling limit the benchmark cut sings at odd halves of the tooth-passing frequency") {
  // Computed: 7500 rpm, climb, a tenth engaged, limit 1.9201 mm by period doubling, (k + 1/2)·250 Hz with 875 Hz
  // nearest.
  const rig::RigSettings settings =
      test::bare_cut(test::benchmark_model(), 7500, 0.1, cutting::Milling::climb, 1.9201 * 1.04);
  rig::Machine machine(settings, 96000);
  for (int i = 0; i < 2 * 96000; ++i) machine.step();
  std::vector<double> track;
  for (int i = 0; i < 8 * 9600; ++i) {
    machine.step();
    if (i % 8 == 0) track.push_back(machine.vibration_m().x);
  }
  CHECK_THAT(loudest_hz(track, 12000, 760, 990), WithinRel(875.0, 0.001));
  // With two flutes that is a multiple of the rotation: only the comparison with the cut without regeneration tells.
  const rig::TrialOutcome outcome = rig::try_cut(settings, 2);
  CHECK(outcome.chatter_share < 0.01);
  CHECK(outcome.between_share > 0.2);
  CHECK(outcome.chattered);
  rig::RigSettings below = settings;
  below.start.depth_mm = 1.9201 * 0.96;
  CHECK_FALSE(rig::try_cut(below, 2).chattered);
}

TEST_CASE("Chatter grows until the teeth leave the cut and then stays as it is") {
  rig::RigSettings settings = test::bare_cut(test::benchmark_model(), 7500, 1, cutting::Milling::climb, 0.6);
  rig::Machine machine(settings, 96000);
  std::vector<double> chatter_m;
  for (int second = 0; second < 4; ++second) {
    for (int i = 0; i < 96000; ++i) machine.step();
    chatter_m.push_back(machine.truth().chatter_rms);
  }
  CHECK(machine.truth().teeth_leave_cut);
  CHECK(chatter_m[3] > 1e-5);  // a tenth of the feed and more
  CHECK(chatter_m[3] < 1e-3);
  CHECK_THAT(chatter_m[3], WithinRel(chatter_m[2], 0.05));
}

TEST_CASE("Knobs out of range or not numbers leave the sound finite") {
  rig::RigSettings settings = rig::rail_slot();
  rig::Rig rig(settings);
  rig.turn({.spindle_rpm = std::numeric_limits<double>::quiet_NaN(),
            .depth_mm = std::numeric_limits<double>::infinity(),
            .radial_mm = -3,
            .feed_per_tooth_mm = std::numeric_limits<double>::quiet_NaN(),
            .in_cut = true});
  for (const float sample : sound_of(rig, 24000, 480)) REQUIRE(std::isfinite(sample));
  CHECK(rig.controls().spindle_rpm == settings.start.spindle_rpm);
  CHECK(rig.controls().radial_mm == 0);
  rig.turn({.spindle_rpm = 1e9, .depth_mm = 1e9, .radial_mm = 1e9, .feed_per_tooth_mm = 1e9, .in_cut = true});
  for (const float sample : sound_of(rig, 24000, 480)) REQUIRE((std::isfinite(sample) && std::abs(sample) <= 1));
  rig.turn({.spindle_rpm = 0, .depth_mm = 1, .radial_mm = 8, .feed_per_tooth_mm = 0.05, .in_cut = true});
  for (const float sample : sound_of(rig, 24000, 480)) REQUIRE(std::isfinite(sample));
}

TEST_CASE("The spindle follows the knob at its own pace, errs as told and sags under load") {
  rig::RigSettings settings = rig::bracket_wall();
  settings.spindle = {.speed_error_percent = 1.5, .droop_rpm_per_n_m = 40, .ramp_rpm_per_s = 2000};
  settings.start.in_cut = false;
  rig::Rig rig(settings);
  sound_of(rig, 4800, 480);
  CHECK_THAT(rig.truth().spindle_rpm, WithinRel(6800 * 1.015, 1e-6));
  rig::RigControls controls = rig.controls();
  controls.spindle_rpm = 5800;
  rig.turn(controls);
  sound_of(rig, 12000, 480);  // a quarter of a second: half the way
  CHECK_THAT(rig.truth().spindle_rpm, WithinAbs(6300 * 1.015, 5));
  sound_of(rig, 24000, 480);
  CHECK_THAT(rig.truth().spindle_rpm, WithinRel(5800 * 1.015, 1e-6));
  controls.in_cut = true;
  rig.turn(controls);
  sound_of(rig, 48000, 480);
  CHECK(rig.truth().spindle_rpm < 5800 * 1.015 - 2);
  CHECK(rig.truth().spindle_rpm > 5800 * 1.015 - 200);
}

TEST_CASE("Bad settings are refused with the field, the value and what would be right") {
  rig::RigSettings settings = rig::bracket_wall();
  settings.sample_rate_hz = 8000;
  CHECK_THROWS_WITH(rig::Rig(settings), "sample_rate_hz is 8000; 16000 to 192000 would be right");
  settings = rig::bracket_wall();
  settings.model.cutter.pitch_deg = {80, 100, 80};
  CHECK_THROWS_WITH(rig::Rig(settings), "pitch_deg is 3 angles long; one angle a flute would be right");
  settings = rig::bracket_wall();
  settings.model.structure = {};
  CHECK_THROWS_AS(rig::Rig(settings), std::invalid_argument);
  settings = rig::bracket_wall();
  settings.start.depth_mm = std::numeric_limits<double>::quiet_NaN();
  CHECK_THROWS_AS(rig::Rig(settings), std::invalid_argument);
}

TEST_CASE(
    "A trial without sound knows a healthy cut from chatter, also where chatter settles on a multiple of the "
    "rotation") {
  rig::RigSettings settings = rig::bracket_wall();
  CHECK_FALSE(rig::try_cut(settings, 1.5).chattered);
  settings.start.depth_mm = 3;
  const rig::TrialOutcome plain = rig::try_cut(settings, 1.5);
  CHECK(plain.chattered);
  CHECK(plain.chatter_share > 0.2);
  settings.start.spindle_rpm = 6500;  // eleven times the rotation is where this tool sings
  settings.start.depth_mm = 3.6;
  const rig::TrialOutcome locked = rig::try_cut(settings, 1.5);
  CHECK(locked.chatter_share < 0.2);
  CHECK(locked.swelling > 2);
  CHECK(locked.chattered);
}
