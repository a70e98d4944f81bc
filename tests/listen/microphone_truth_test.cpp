// Faults of the input, one by one, done to clean sound of three generators; and what clean sound must not be called.
// Shares are asked for where physics allows them; the benchmark's section `microphone` measures more.
#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <string>

#include "listen/listener.hpp"
#include "listen/microphone_truth.hpp"
#include "support/catch.hpp"
#include "support/microphone_faults.hpp"
#include "support/microphone_sounds.hpp"

using namespace hushmill;
using listen::Warning;

namespace {
std::vector<Warning> input_warnings(const test::ShopSound& shop, const test::Samples& samples, std::size_t block = 4096) {
  listen::Listener listener({shop.sample_rate_hz, shop.entered_rpm, shop.flutes});
  for (std::size_t at = 0; at < samples.size(); at += block)
    listener.process(std::span<const float>(samples).subspan(at, std::min(block, samples.size() - at)));
  listener.finish();
  std::vector<Warning> found;
  for (const auto warning : listener.findings().warnings)
    if (test::is_of_the_input(warning)) found.push_back(warning);
  return found;
}

bool names(const std::vector<Warning>& found, Warning code) { return std::find(found.begin(), found.end(), code) != found.end(); }

const test::MicrophoneFault& fault(const std::string& name) {
  const auto faults = test::microphone_faults();
  return *std::find_if(faults.begin(), faults.end(), [&](const auto& one) { return one.name == name; });
}

test::Samples noise(std::size_t size, double deviation, std::uint64_t seed = 4) {
  test::Chance chance(seed);
  test::Samples samples(size);
  for (float& x : samples) x = static_cast<float>(deviation * chance.normal());
  return samples;
}

std::vector<listen::MicrophoneFinding> found_in(const test::Samples& samples, double rate_hz = 48000) {
  listen::MicrophoneTruth truth(rate_hz);
  truth.process(samples);
  return truth.findings(true);
}
}  // namespace

TEST_CASE("clean sound is not warned of, and every plain fault done to it is named", "[counts]") {
  for (const auto kind : {test::SoundKind::simulated, test::SoundKind::additive, test::SoundKind::rig_in_and_out})
    for (std::uint64_t seed = 6100; seed < 6103; ++seed) {
      const auto shop = test::make_microphone_sound(kind, seed);
      INFO(test::word(kind) << ", seed " << seed);
      CHECK(input_warnings(shop, shop.samples).empty());
      for (const char* name : {"clipped", "clipped, then turned down", "digital silence", "plug pulled", "nearly dead", "offset of 5 %", "pieces silent",
                               "pieces doubled", "a third of the rate by repeating", "speech link, 3.6 kHz"}) {
        INFO(name);
        CHECK(names(input_warnings(shop, fault(name).make(shop.samples, shop.sample_rate_hz)), fault(name).code));
      }
    }
}

TEST_CASE("a gain that follows the loudness, and suppressed noise, are named where there are loud stretches between quiet ones", "[counts]") {
  int gains = 0, suppressed = 0;
  for (std::uint64_t seed = 6200; seed < 6206; ++seed) {
    const auto shop = test::make_microphone_sound(test::SoundKind::rig_in_and_out, seed);
    gains += names(input_warnings(shop, test::automatically_gained(shop.samples, shop.sample_rate_hz)), Warning::automatic_gain) ? 1 : 0;
    suppressed += names(input_warnings(shop, test::gated(shop.samples, shop.sample_rate_hz)), Warning::noise_suppression) ? 1 : 0;
  }
  CHECK(gains >= 4);  // where the cut is little louder than the room, its onset is too small a step
  CHECK(suppressed >= 5);
}

TEST_CASE("blocks of any size give the same warnings") {
  const auto shop = test::make_microphone_sound(test::SoundKind::rig_in_and_out, 6300);
  const auto hummed = test::with_pieces_silent(test::with_hum(shop.samples, shop.sample_rate_hz, 50, 0.8), shop.sample_rate_hz, 100, 1.0);
  const auto whole = input_warnings(shop, hummed, hummed.size());
  CHECK(whole.size() >= 2);
  CHECK(input_warnings(shop, hummed, 1) == whole);
  CHECK(input_warnings(shop, hummed, 1777) == whole);
}

TEST_CASE("hum is mains hum only where the spindle's own multiples do not explain it") {
  const auto hummed = test::with_hum(noise(48000 * 5, 0.01), 48000, 50, 1.0);
  listen::MicrophoneTruth still(48000), turning(48000);
  turning.expect_rotation(50);  // 3000 rev/min
  still.process(hummed);
  turning.process(hummed);
  REQUIRE(still.findings(true).size() == 1);
  CHECK(still.findings(true)[0].code == Warning::mains_hum);
  CHECK(turning.findings(true).empty());
}

TEST_CASE("hum at even multiples alone is the room's: lamps and transformers sing in the air") {
  auto sound = noise(48000 * 5, 0.01);
  for (std::size_t i = 0; i < sound.size(); ++i)
    for (const double hz : {100.0, 200.0, 300.0, 400.0})
      sound[i] += static_cast<float>(0.02 * std::sin(2 * std::numbers::pi * hz * static_cast<double>(i) / 48000));
  CHECK(found_in(sound).empty());
}

TEST_CASE("a finding says when and how much") {
  auto sound = noise(48000 * 6, 0.02);
  for (std::size_t i = 96000; i < 96200; ++i) sound[i] = 0;
  for (std::size_t i = 192000; i < 192200; ++i) sound[i] = 0;
  const auto found = found_in(sound);
  REQUIRE(found.size() == 1);
  CHECK(found[0].code == Warning::dropped_samples);
  CHECK(std::abs(found[0].since_s - 2.0) < 0.03);
  CHECK(std::abs(found[0].until_s - 4.0) < 0.03);
  CHECK(found[0].value == 2);
}

TEST_CASE("a steady tone whose period fits a buffer is no doubled buffer") {
  test::Samples tone(48000 * 3);
  for (std::size_t i = 0; i < tone.size(); ++i) tone[i] = 0.3F * static_cast<float>(std::sin(2 * std::numbers::pi * static_cast<double>(i % 48) / 48));
  CHECK(found_in(tone).empty());
}

TEST_CASE("a plug that is pulled is named in two seconds, silence before the first sound is forgiven") {
  listen::MicrophoneTruth truth(48000);
  truth.process(test::Samples(48000 * 3, 0.0F));
  REQUIRE(truth.findings(false).size() == 1);
  CHECK(truth.findings(false)[0].code == Warning::silent);
  truth.process(noise(48000 * 2, 0.02));
  CHECK(truth.findings(false).empty());
  truth.process(test::Samples(48000 * 2 + 2000, 0.0F));
  REQUIRE(truth.findings(false).size() == 1);
  CHECK(std::abs(truth.findings(false)[0].since_s - 5) < 0.05);
}

TEST_CASE("every rate of the engine takes the tests of the input") {
  for (const double rate_hz : {16000.0, 22050.0, 44100.0, 96000.0, 192000.0}) {
    INFO(rate_hz << " Hz");
    const auto clean = noise(static_cast<std::size_t>(4 * rate_hz), 0.02);
    CHECK(found_in(clean, rate_hz).empty());
    const auto offset = found_in(test::with_offset(clean, 0.1), rate_hz);
    REQUIRE(offset.size() == 1);
    CHECK(offset[0].code == Warning::dc_offset);
    CHECK(std::abs(offset[0].value - 0.1) < 0.001);
  }
}

TEST_CASE("samples that are no numbers are no dropped samples") {
  auto sound = noise(48000 * 3, 0.02);
  for (std::size_t i = 5000; i < sound.size(); i += 9973) sound[i] = std::numeric_limits<float>::quiet_NaN();
  CHECK(found_in(sound).empty());
}

TEST_CASE("teeth that strike hard all jump the same way and are no missing samples; jumps both ways are") {
  // A tone that drops at once by half and climbs back slowly, eight times in four seconds: what heavy chatter does to a wave.
  const auto with_jumps = [](bool both_ways) {
    auto sound = noise(48000 * 5, 0.001);
    for (int j = 0; j < 8; ++j) {
      const float sign = both_ways && j % 2 == 1 ? -1.0F : 1.0F;
      const auto at = static_cast<std::size_t>(24000 * (j + 1) + 997 * j);
      for (std::size_t i = 0; i < 2400; ++i) sound[at + i] -= sign * 0.4F * static_cast<float>(1.0 - static_cast<double>(i) / 2400);
    }
    return sound;
  };
  const auto heard = [](const std::vector<float>& sound) {
    listen::MicrophoneTruth truth(48000);
    truth.expect_rotation(43);
    truth.process(sound);
    const auto found = truth.findings(true);
    return std::any_of(found.begin(), found.end(), [](const auto& f) { return f.code == Warning::dropped_samples; });
  };
  CHECK_FALSE(heard(with_jumps(false)));
  CHECK(heard(with_jumps(true)));
}
