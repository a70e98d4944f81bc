#include "listen/listener.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "support/additive_shop.hpp"
#include "support/catch.hpp"
#include "support/chance.hpp"
#include "support/oscillator.hpp"

using namespace hushmill;
using listen::Listener;

namespace {
test::ShopSound chattering_shop() {
  test::ShopSettings settings;
  settings.seed = 1006;
  settings.chatter = true;
  settings.cut_over_room_db = 15;
  return test::make_shop_sound(settings);
}

struct Heard {
  std::vector<listen::Event> events;
  listen::Findings findings;
};

Heard hear(const test::ShopSound& shop, std::size_t block) {
  Listener listener({shop.sample_rate_hz, shop.entered_rpm, shop.flutes});
  const std::span<const float> all(shop.samples);
  for (std::size_t i = 0; i < all.size(); i += block) listener.process(all.subspan(i, std::min(block, all.size() - i)));
  listener.finish();
  return {listener.take_events(), listener.findings()};
}
}  // namespace

TEST_CASE("block size changes nothing, to the last digit") {
  const auto shop = chattering_shop();
  const auto whole = hear(shop, shop.samples.size());
  REQUIRE_FALSE(whole.findings.episodes.empty());
  for (const std::size_t block : {std::size_t{1}, std::size_t{64}, std::size_t{4097}}) {
    const auto pieces = hear(shop, block);
    REQUIRE(pieces.events.size() == whole.events.size());
    for (std::size_t i = 0; i < whole.events.size(); ++i) {
      CHECK(pieces.events[i].sample == whole.events[i].sample);
      CHECK(pieces.events[i].kind == whole.events[i].kind);
      CHECK(pieces.events[i].index == whole.events[i].index);
    }
    REQUIRE(pieces.findings.episodes.size() == whole.findings.episodes.size());
    for (std::size_t i = 0; i < whole.findings.episodes.size(); ++i) {
      CHECK(pieces.findings.episodes[i].chatter_hz == whole.findings.episodes[i].chatter_hz);
      CHECK(pieces.findings.episodes[i].start_s == whole.findings.episodes[i].start_s);
      CHECK(pieces.findings.episodes[i].end_s == whole.findings.episodes[i].end_s);
      CHECK(pieces.findings.episodes[i].chatter_share == whole.findings.episodes[i].chatter_share);
    }
  }
}

TEST_CASE("only samples up to the alarm count: cut off there, the same alarm comes") {
  const auto shop = chattering_shop();
  const auto whole = hear(shop, 4096);
  REQUIRE_FALSE(whole.findings.episodes.empty());
  auto cut_off = shop;
  cut_off.samples.resize(static_cast<std::size_t>(std::llround(whole.findings.episodes[0].alert_s * shop.sample_rate_hz)));
  const auto early = hear(cut_off, 4096);
  REQUIRE(early.findings.episodes.size() == 1);
  CHECK(early.findings.episodes[0].alert_s == whole.findings.episodes[0].alert_s);
  CHECK(early.findings.episodes[0].open);
}

TEST_CASE("chatter that was there when listening began is named, and a steady cut met midway is not alarmed") {
  // Whole benchmark: bench hearing, HUSHMILL_HEARING_ONLY=midway.
  int named = 0;
  for (const std::uint64_t seed : {5000U, 5004U, 5008U, 5012U, 5016U, 5020U}) {
    for (const bool chatter : {true, false}) {
      test::ShopSettings settings;
      settings.seed = seed;
      settings.chatter = chatter;
      auto shop = test::make_shop_sound(settings);
      if (shop.chatter != chatter) continue;
      const auto from = static_cast<std::size_t>(((chatter ? shop.onset_s : shop.cut_start_s) + 1) * shop.sample_rate_hz);
      shop.samples.erase(shop.samples.begin(), shop.samples.begin() + static_cast<std::ptrdiff_t>(from));
      const auto heard = hear(shop, 4096);
      CAPTURE(seed, chatter);
      if (!chatter) CHECK(heard.findings.episodes.empty());
      if (!chatter || heard.findings.episodes.empty()) continue;
      ++named;
      CHECK(heard.findings.episodes.front().alert_s < 3);
      CHECK(std::count(heard.findings.warnings.begin(), heard.findings.warnings.end(), listen::Warning::no_room) == 1);
    }
  }
  CHECK(named >= 3);
}

TEST_CASE("settings out of range are refused by name") {
  using test::Contains;
  CHECK_THROWS_WITH(Listener({8000, 6000, 4}), Contains("sample rate"));
  CHECK_THROWS_WITH(Listener({48000, 9, 4}), Contains("spindle speed"));
  CHECK_THROWS_WITH(Listener({48000, 200001, 4}), Contains("spindle speed"));
  CHECK_THROWS_WITH(Listener({48000, std::nan(""), 4}), Contains("spindle speed"));
  CHECK_THROWS_WITH(Listener({48000, 6000, 0}), Contains("flutes"));
  CHECK_THROWS_WITH(Listener({48000, 6000, 65}), Contains("flutes"));
}

TEST_CASE("samples that are no numbers are counted and change nothing else") {
  auto shop = chattering_shop();
  const auto clean = hear(shop, 4096);
  shop.samples[1000] = std::numeric_limits<float>::quiet_NaN();
  shop.samples[1001] = std::numeric_limits<float>::infinity();
  shop.samples[1002] = -std::numeric_limits<float>::infinity();
  const auto dirty = hear(shop, 4096);
  CHECK(dirty.findings.episodes.size() == clean.findings.episodes.size());
  CHECK(dirty.findings.warnings.size() == clean.findings.warnings.size() + 1);
  Listener listener({shop.sample_rate_hz, shop.entered_rpm, shop.flutes});
  listener.process(shop.samples);
  CHECK(listener.snapshot().bad_samples == 3);
  for (const float level : listener.snapshot().spectrum_dbfs) REQUIRE(std::isfinite(level));
}

TEST_CASE("numbers that are no sound leave a spectrum of numbers behind them") {
  Listener listener({16000, 3000, 4});
  std::vector<float> absurd(8000);
  for (std::size_t i = 0; i < absurd.size(); ++i) absurd[i] = i % 2 == 0 ? 3e38F : -3e38F;
  listener.process(absurd);
  listener.process(std::vector<float>(16000, 0.001F));
  CHECK(listener.snapshot().bad_samples == absurd.size());
  CHECK(std::isfinite(listener.snapshot().level_dbfs));
  for (const float level : listener.snapshot().spectrum_dbfs) REQUIRE(std::isfinite(level));
}

TEST_CASE("silence holds no cut and no speed") {
  Listener listener({48000, 6000, 4});
  listener.process(std::vector<float>(48000 * 3, 0.0F));
  listener.finish();
  CHECK(listener.findings().cuts.empty());
  CHECK(listener.findings().episodes.empty());
  CHECK_FALSE(listener.findings().stretches.front().measured_rpm.has_value());
  CHECK(listener.snapshot().verdict == listen::Verdict::no_cut);
  REQUIRE(listener.findings().warnings.size() == 1);
  CHECK(listener.findings().warnings[0] == listen::Warning::silent);
}

TEST_CASE("a change of the entered speed starts a new stretch at that sample") {
  Listener listener({48000, 6000, 4});
  listener.process(std::vector<float>(48000, 0.0F));
  listener.set_spindle_rpm(5400);
  listener.process(std::vector<float>(24000, 0.0F));
  listener.finish();
  const auto& stretches = listener.findings().stretches;
  REQUIRE(stretches.size() == 2);
  CHECK(stretches[0].to_s == 1.0);
  CHECK(stretches[1].from_s == 1.0);
  CHECK(stretches[1].to_s == 1.5);
  CHECK(stretches[1].entered_rpm == 5400);
}

TEST_CASE("teeth some of which get louder than the others are no chatter, lines beside them are") {
  // Invented: 6000 rev/min, 4 flutes; after four seconds three lines come up by 24 dB within 0.3 s, on the teeth's places or beside.
  const auto episodes = [](double beside_hz) {
    constexpr double kRateHz = 48000;
    test::Chance chance(3);
    std::vector<test::Oscillator> teeth(8), raised(3);
    for (auto& tooth : teeth) tooth.start(chance.uniform(0, 6));
    for (auto& line : raised) line.start(chance.uniform(0, 6));
    std::vector<float> sound;
    for (int i = 0; i < 8 * 48000; ++i) {
      const double t_s = i / kRateHz;
      double sample = 1e-4 * chance.normal();
      for (std::size_t k = 0; k < teeth.size() && t_s > 1.5; ++k)
        sample += 0.04 / static_cast<double>((k + 1) * (k + 1)) * teeth[k].next(400.0 * static_cast<double>(k + 1), kRateHz);
      for (std::size_t k = 0; k < raised.size() && t_s > 4; ++k)
        sample += 0.02 * std::min(1.0, (t_s - 4) / 0.3) * raised[k].next(400.0 * static_cast<double>(k + 5) + beside_hz, kRateHz);
      sound.push_back(static_cast<float>(sample));
    }
    Listener listener({kRateHz, 6000, 4});
    listener.process(sound);
    listener.finish();
    return listener.findings().episodes.size();
  };
  CHECK(episodes(0) == 0);
  CHECK(episodes(113) == 1);
}
