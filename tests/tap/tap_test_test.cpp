// The whole tap test on made-up taps whose modes are known exactly. All data are invented.
#include "tap/tap_test.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "support/catch.hpp"
#include "support/tapped.hpp"

using namespace hushmill;
using tap::Warning;
using test::WithinAbs;
using test::WithinRel;

namespace {
test::TappedThing tool() {
  test::TappedThing thing;
  thing.duration_s = 4.4;
  thing.modes = {{1180, 0.018, 1}, {2640, 0.011, 0.6}};
  thing.hits = {{0.8, 1}, {1.7, 0.8}, {2.5, 0.9}, {3.4, 0.7}};
  thing.contact_s = 0.0003;
  thing.click = 0.1;
  thing.noise_below_db = 30;
  return thing;
}

tap::Findings heard(const std::vector<float>& samples, double rate_hz = 48000, std::size_t block = 4096) {
  tap::TapTest test(rate_hz);
  for (std::size_t at = 0; at < samples.size(); at += block)
    test.process(std::span<const float>(samples).subspan(at, std::min(block, samples.size() - at)));
  return test.findings();
}

bool warns(const tap::Findings& findings, Warning warning) {
  return std::find(findings.warnings.begin(), findings.warnings.end(), warning) != findings.warnings.end();
}

void check_same(const tap::Findings& a, const tap::Findings& b, double within) {
  REQUIRE(a.modes.size() == b.modes.size());
  CHECK(a.tap_s == b.tap_s);
  for (std::size_t m = 0; m < a.modes.size(); ++m) {
    CHECK_THAT(a.modes[m].natural_hz, WithinRel(b.modes[m].natural_hz, within));
    CHECK_THAT(a.modes[m].damping_ratio, WithinRel(b.modes[m].damping_ratio, within));
  }
}
}  // namespace

TEST_CASE("two modes of a tool come back with spread, level and agreement") {
  const auto sound = test::make_tapped(tool(), 1);
  const auto found = heard(sound.samples);
  CHECK(found.tap_s.size() == 4);
  CHECK(found.rejected.empty());
  REQUIRE(found.modes.size() == 2);
  const auto thing = tool();
  for (std::size_t m = 0; m < 2; ++m) {
    CHECK_THAT(found.modes[m].natural_hz, WithinRel(thing.modes[m].natural_hz, 0.001));
    CHECK_THAT(found.modes[m].damping_ratio, WithinRel(thing.modes[m].damping_ratio, 0.05));
    CHECK(found.modes[m].taps_agreeing == 4);
    CHECK(found.modes[m].damping_ratio_spread > 0);
    CHECK(found.modes[m].damping_ratio_spread < 0.15 * found.modes[m].damping_ratio);
    CHECK(found.modes[m].damped_hz < found.modes[m].natural_hz);
    CHECK_THAT(found.modes[m].level_db, WithinAbs(sound.ring_level_db[m], 1.5));
  }
  CHECK(found.warnings.empty());
}

TEST_CASE("blocks of any size give the same answer, and so does any level") {
  auto samples = test::make_tapped(tool(), 2).samples;
  const auto all = heard(samples);
  check_same(heard(samples, 48000, 777), all, 0);
  for (float& v : samples) v *= 0.0078125F;
  check_same(heard(samples), all, 1e-4);
}

TEST_CASE("a fork rings almost for ever and is measured all the same") {
  auto thing = tool();
  thing.modes = {{440, 0.0005, 1}};
  const auto found = heard(test::make_tapped(thing, 3).samples);
  REQUIRE(found.modes.size() == 1);
  CHECK_THAT(found.modes[0].natural_hz, WithinRel(440.0, 0.0003));
  CHECK_THAT(found.modes[0].damping_ratio, WithinRel(0.0005, 0.1));
}

TEST_CASE("close modes, 3 % apart at 1 % damping, are two") {
  auto thing = tool();
  thing.modes = {{1000, 0.01, 1}, {1030, 0.01, 0.8}};
  const auto found = heard(test::make_tapped(thing, 4).samples);
  REQUIRE(found.modes.size() == 2);
  CHECK_THAT(found.modes[0].natural_hz, WithinRel(1000.0, 0.002));
  CHECK_THAT(found.modes[1].natural_hz, WithinRel(1030.0, 0.002));
}

TEST_CASE("a near room's answer is told from the damping, and the stated spread covers the error") {
  // Three per cent of the energy, within 0.6 s, comes back; the same in every tap, so more taps do not help.
  auto thing = tool();
  thing.room_share = 0.03;
  thing.room_tail_s = 0.6;
  thing.modes = {{442.7, 0.0019, 1}, {1180, 0.018, 0.5}};
  const auto found = heard(test::make_tapped(thing, 21).samples);
  REQUIRE(found.modes.size() == 2);
  CHECK_THAT(found.modes[0].damping_ratio, WithinRel(0.0019, 0.05));
  for (std::size_t m = 0; m < 2; ++m) {
    CHECK(std::abs(found.modes[m].natural_hz - thing.modes[m].natural_hz) < 3 * found.modes[m].natural_hz_spread);
    CHECK(std::abs(found.modes[m].damping_ratio - thing.modes[m].damping_ratio) < 3 * found.modes[m].damping_ratio_spread);
    CHECK(found.modes[m].damping_ratio_spread < 0.2 * found.modes[m].damping_ratio);
  }
}

TEST_CASE("low and high sample rates") {
  for (const double rate_hz : {8000.0, 192000.0}) {
    auto thing = tool();
    thing.hits.resize(3);
    thing.duration_s = 3.2;
    thing.sample_rate_hz = rate_hz;
    const auto found = heard(test::make_tapped(thing, 5).samples, rate_hz);
    REQUIRE_FALSE(found.modes.empty());
    CHECK_THAT(found.modes[0].natural_hz, WithinRel(1180.0, 0.002));
    CHECK_THAT(found.modes[0].damping_ratio, WithinRel(0.018, 0.1));
  }
}

TEST_CASE("a tone that was there before the taps is the room's") {
  auto thing = tool();
  thing.noise_below_db = 20;
  thing.tones = {{700, 1.5}, {50, 1}};
  const auto found = heard(test::make_tapped(thing, 6).samples);
  for (const auto& mode : found.modes) CHECK(std::abs(mode.natural_hz - 700) > 20);
  CHECK(found.modes.size() == 2);
}

TEST_CASE("bounces and clipped taps are left out, each with its reason") {
  auto thing = tool();
  thing.hits[1].again_after_s = 0.03;
  thing.hits[1].again_strength = 0.7;
  const auto bounced = heard(test::make_tapped(thing, 7).samples);
  REQUIRE(bounced.rejected.size() == 1);
  CHECK(bounced.rejected[0].why == tap::WhyRejected::double_hit);
  CHECK_THAT(bounced.rejected[0].at_s, WithinAbs(1.7, 0.01));
  CHECK(warns(bounced, Warning::double_hits));

  auto samples = test::make_tapped(tool(), 8).samples;
  for (std::size_t n = 48000 * 24 / 10; n < 48000 * 28 / 10; ++n) samples[n] = std::clamp(8 * samples[n], -0.999F, 0.999F);
  const auto clipped = heard(samples);
  CHECK(std::any_of(clipped.rejected.begin(), clipped.rejected.end(), [](const auto& tap) { return tap.why == tap::WhyRejected::clipped; }));
  CHECK(warns(clipped, Warning::clipped));
}

TEST_CASE("few taps, no taps and no ring are said, never made up for") {
  auto thing = tool();
  thing.hits = {{0.8}, {1.9}};
  CHECK(warns(heard(test::make_tapped(thing, 9).samples), Warning::few_taps));

  thing.hits.clear();
  thing.modes.clear();
  const auto silent = heard(std::vector<float>(96000, 0.0F));
  CHECK(silent.modes.empty());
  CHECK(warns(silent, Warning::no_taps));
  CHECK(heard({}).modes.empty());

  // A thud: struck clay, all over within a millisecond or two.
  test::Chance chance(10);
  std::vector<float> thuds(48000 * 4);
  for (float& v : thuds) v = static_cast<float>(0.0005 * chance.normal());
  for (const double at_s : {0.8, 1.8, 2.8})
    for (std::size_t n = 0; n < 200; ++n)
      thuds[static_cast<std::size_t>(at_s * 48000) + n] += static_cast<float>(0.3 * chance.normal() * std::exp(-static_cast<double>(n) / 20));
  const auto thud = heard(thuds);
  CHECK(thud.tap_s.size() == 3);
  CHECK(thud.modes.empty());
  CHECK(warns(thud, Warning::no_modes));
}

TEST_CASE("a sound that is there from the first sample to the last is no strike, at its beginning or its end") {
  std::vector<float> offset(96000, 0.001F), hum(96000);
  for (std::size_t n = 0; n < hum.size(); ++n) hum[n] = static_cast<float>(0.2 * std::cos(0.03 * static_cast<double>(n)));
  for (const auto* sound : {&offset, &hum}) {
    const auto found = heard(*sound);
    CHECK(found.tap_s.empty());
    CHECK(found.rejected.empty());
    CHECK(warns(found, Warning::no_taps));
  }
}

TEST_CASE("taps without a room before them are warned of") {
  auto samples = test::make_tapped(tool(), 11).samples;
  samples.erase(samples.begin(), samples.begin() + 48000 * 7 / 10);
  CHECK(warns(heard(samples), Warning::no_room));
}

TEST_CASE("samples that are no numbers harm nothing and are counted") {
  auto samples = test::make_tapped(tool(), 12).samples;
  samples[100] = std::numeric_limits<float>::quiet_NaN();
  samples[60000] = std::numeric_limits<float>::infinity();
  samples[60001] = -1e30F;
  const auto found = heard(samples);
  CHECK(found.bad_samples == 3);
  CHECK(warns(found, Warning::bad_samples));
  for (const auto& mode : found.modes)
    for (const double value : {mode.natural_hz, mode.damping_ratio, mode.natural_hz_spread, mode.damping_ratio_spread, mode.level_db, mode.ring_s}) CHECK(std::isfinite(value));
  std::vector<float> wild(48000);
  for (float& v : wild) v = std::numeric_limits<float>::quiet_NaN();
  CHECK(heard(wild).modes.empty());
}

TEST_CASE("a rate that no microphone has is refused by its value") {
  CHECK_THROWS_AS(tap::TapTest(4000), std::invalid_argument);
  CHECK_THROWS_AS(tap::TapTest(std::numeric_limits<double>::quiet_NaN()), std::invalid_argument);
}
