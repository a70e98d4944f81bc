#include "bench/hearing_outside.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <span>
#include <string>
#include <vector>

#include "bench/kept_sounds.hpp"
#include "bench/share.hpp"
#include "bench/side_by_side.hpp"
#include "listen/listener.hpp"
#include "support/milling_corpus.hpp"
#include "support/outside_sounds.hpp"

namespace hushmill::bench {
namespace {

enum class Way { alone, after_quiet, over_cut };
constexpr std::array kWays{Way::alone, Way::after_quiet, Way::over_cut};
constexpr const char* kWayNames[] = {"alone", "after a second of quiet", "over a steady cut"};
constexpr const char* kWayWords[] = {"alone", "after-quiet", "over-cut"};

constexpr double kQuietDbfs = -66;
constexpr double kSoundFromS = 5;  // over a cut; the cut's own deeper pass is over by then
constexpr double kSoundAtMostS = 12;
constexpr double kLoudestWithinS = 0.25;  // the sound's level is that of its loudest quarter second

struct Mixed {
  std::vector<float> samples{};
  double sample_rate_hz = 0;
  double entered_rpm = 0;
  int flutes = 0;
  double level_db = 0;  // over the cut
};

struct Heard {
  std::size_t sound = 0;
  Way way = Way::alone;
  double entered_rpm = 0, true_rpm = 0, level_db = 0;
  int flutes = 0;
  double building_s = 0, building_hz = 0;  // in doubt, though it may not have alarmed
  bool unexplained = false, cut_alone_alarms = false;
  std::size_t foreign_tones = 0;
  std::vector<listen::Episode> episodes{};
};

double rms(std::span<const float> x) {
  double sum = 0;
  for (const float v : x) sum += static_cast<double>(v) * static_cast<double>(v);
  return std::sqrt(sum / static_cast<double>(std::max<std::size_t>(1, x.size())));
}

double loudest_rms(std::span<const float> x, double rate_hz) {
  const auto step = std::max<std::size_t>(1, static_cast<std::size_t>(kLoudestWithinS * rate_hz));
  double most = 0;
  for (std::size_t from = 0; from < x.size(); from += step)
    most = std::max(most, rms(x.subspan(from, std::min(step, x.size() - from))));
  return most;
}

std::span<const float> part_played(const test::OutsideSound& sound) {
  const auto most = static_cast<std::size_t>(kSoundAtMostS * sound.sample_rate_hz);
  return std::span(sound.samples).first(std::min(most, sound.samples.size()));
}

// The steady cut that goes with a sound. Without the sound it is what the engine hears anyway.
test::ShopSound steady_cut(const test::OutsideSound& sound, std::uint64_t seed) {
  const double sound_s = static_cast<double>(part_played(sound).size()) / sound.sample_rate_hz;
  return test::make_milling_sound({.seed = seed,
                                   .sample_rate_hz = sound.sample_rate_hz,
                                   .duration_s = kSoundFromS + sound_s + 1,
                                   .chatter = false,
                                   .even_slot = seed % 5 == 0,
                                   .cut_over_room_db = 15});
}

Mixed mix(const test::OutsideSound& sound, Way way, std::uint64_t seed, const test::ShopSound& cut) {
  test::Chance chance(seed + 4711);
  Mixed mixed;
  mixed.sample_rate_hz = sound.sample_rate_hz;
  mixed.entered_rpm = cut.entered_rpm;
  mixed.flutes = cut.flutes;
  mixed.level_db = chance.uniform(-6, 6);
  const auto played = part_played(sound);
  if (way == Way::alone) {
    mixed.samples.assign(played.begin(), played.end());
    return mixed;
  }
  if (way == Way::after_quiet) {
    const auto quiet = static_cast<std::size_t>(sound.sample_rate_hz);
    mixed.samples.resize(quiet + played.size() + quiet / 2);
    const double level = std::pow(10.0, kQuietDbfs / 20);
    for (float& x : mixed.samples) x = static_cast<float>(level * chance.normal());
    for (std::size_t i = 0; i < played.size(); ++i) mixed.samples[quiet + i] += played[i];
    return mixed;
  }
  mixed.samples = cut.samples;
  const auto from = static_cast<std::size_t>(kSoundFromS * sound.sample_rate_hz);
  const auto before = static_cast<std::size_t>(1.0 * sound.sample_rate_hz);
  const double cut_rms = rms(std::span(cut.samples).subspan(from - before, before));
  const double gain =
      cut_rms * std::pow(10.0, mixed.level_db / 20) / std::max(1e-9, loudest_rms(played, sound.sample_rate_hz));
  for (std::size_t i = 0; i < played.size() && from + i < mixed.samples.size(); ++i)
    mixed.samples[from + i] = std::clamp(mixed.samples[from + i] + static_cast<float>(gain) * played[i], -1.0F, 1.0F);
  return mixed;
}

Heard listen_to(const Mixed& mixed) {
  Heard heard;
  heard.entered_rpm = mixed.entered_rpm;
  heard.flutes = mixed.flutes;
  heard.level_db = mixed.level_db;
  listen::Listener listener({mixed.sample_rate_hz, mixed.entered_rpm, mixed.flutes});
  const auto step = static_cast<std::size_t>(0.01 * mixed.sample_rate_hz);
  const std::span<const float> all(mixed.samples);
  for (std::size_t from = 0; from < all.size(); from += step) {
    listener.process(all.subspan(from, std::min(step, all.size() - from)));
    const auto& now = listener.snapshot();
    if (now.verdict != listen::Verdict::building) continue;
    heard.building_s += 0.01;
    if (now.chatter) heard.building_hz = now.chatter->chatter_hz;
  }
  heard.true_rpm = listener.snapshot().measured_rpm.value_or(mixed.entered_rpm);
  listener.finish();
  const auto& findings = listener.findings();
  heard.episodes = findings.episodes;
  heard.foreign_tones = findings.foreign_tones.size();
  heard.unexplained = std::find(findings.warnings.begin(), findings.warnings.end(),
                                listen::Warning::unexplained_tone) != findings.warnings.end();
  return heard;
}

std::string alarm_line(const Heard& heard, const test::OutsideSound& sound) {
  const auto& episode = heard.episodes.front();
  const double order = episode.chatter_hz / (heard.true_rpm * heard.flutes / 60);
  return fmt::format(
      "  alarm  {:<11} {:<42} {}{:.0f} rev/min x {}: at {:.2f} s, {:.1f} Hz = {:.3f} of the tooth spacing, {}, peak "
      "{:.1f} dBFS, "
      "share {:.2f}, confidence {:.2f}, growth {:.1f}/s, to {:.2f} s{}{}",
      kWayWords[static_cast<int>(heard.way)], sound.name,
      heard.way == Way::over_cut ? fmt::format("{:+.1f} dB to the cut, ", heard.level_db) : "", heard.entered_rpm,
      heard.flutes, episode.alert_s, episode.chatter_hz, order, listen::word(episode.kind), episode.peak_dbfs,
      episode.chatter_share, episode.confidence, episode.growth_per_s, episode.end_s,
      heard.episodes.size() > 1 ? fmt::format(", {} episodes", heard.episodes.size()) : "",
      heard.cut_alone_alarms ? ", THE CUT ALONE ALARMS TOO" : "");
}

void report_hardest(Report& report, std::vector<Heard> heard, const std::vector<test::OutsideSound>& sounds) {
  std::erase_if(heard, [](const Heard& h) { return !h.episodes.empty() || h.building_s == 0; });
  std::sort(heard.begin(), heard.end(), [](const Heard& a, const Heard& b) { return a.building_s > b.building_s; });
  report.note(fmt::format("in doubt but not alarmed: {}; the longest:", heard.size()));
  for (std::size_t i = 0; i < std::min<std::size_t>(12, heard.size()); ++i) {
    const Heard& h = heard[i];
    report.note(fmt::format(
        "  doubt  {:<11} {:<42} {}{:.0f} rev/min x {}: {:.2f} s in doubt, last of {:.1f} Hz, {} foreign tones{}",
        kWayWords[static_cast<int>(h.way)], sounds[h.sound].name,
        h.way == Way::over_cut ? fmt::format("{:+.1f} dB to the cut, ", h.level_db) : "", h.entered_rpm, h.flutes,
        h.building_s, h.building_hz, h.foreign_tones, h.unexplained ? ", called an unexplained tone" : ""));
  }
}

}  // namespace

void report_outside(Report& report, std::uint64_t first_seed) {
  const test::OutsideSounds outside = test::outside_sounds();
  const auto& sounds = outside.sounds;
  for (const std::string& package : outside.missing)
    report.note("sounds of " + package + ": not installed, install " + package + " to measure them");
  if (sounds.empty()) return;

  std::vector<Heard> heard(kWays.size() * sounds.size());
  side_by_side(sounds.size(), [&](std::size_t i) {
    const std::uint64_t seed = first_seed + i;
    const test::ShopSound cut = steady_cut(sounds[i], seed);
    for (std::size_t w = 0; w < kWays.size(); ++w) {
      const Mixed mixed = mix(sounds[i], kWays[w], seed, cut);
      Heard& h = heard[w * sounds.size() + i] = listen_to(mixed);
      h.sound = i;
      h.way = kWays[w];
      if (h.episodes.empty()) continue;
      if (h.way == Way::over_cut) {
        listen::Listener without({cut.sample_rate_hz, cut.entered_rpm, cut.flutes});
        without.process(cut.samples);
        without.finish();
        h.cut_alone_alarms = !without.findings().episodes.empty();
      }
      keep_sound(std::string("outside-") + kWayWords[w] + "-" + sounds[i].name, mixed.samples, mixed.sample_rate_hz,
                 mixed.entered_rpm, mixed.flutes, alarm_line(h, sounds[i]));
    }
  });

  report.note(
      fmt::format("{} real sounds from outside (CC0 recordings, recorded and computed speech, noise); none is chatter",
                  sounds.size()));
  Share all;
  for (std::size_t w = 0; w < kWays.size(); ++w) {
    Share alarmed;
    for (std::size_t i = 0; i < sounds.size(); ++i) {
      alarmed.count(!heard[w * sounds.size() + i].episodes.empty());
      all.count(!heard[w * sounds.size() + i].episodes.empty());
    }
    report.note(fmt::format("outside, {}: alarmed {}", kWayNames[w], alarmed.text()));
    report.figure(fmt::format("outside, {}, alarmed", kWayNames[w]), alarmed.percent(), "%", at_most(2));
  }
  report.figure("outside, all ways, alarmed", all.percent(), "%", at_most(2));
  for (const Heard& h : heard)
    if (!h.episodes.empty()) report.note(alarm_line(h, sounds[h.sound]));
  report_hardest(report, heard, sounds);
}

}  // namespace hushmill::bench
