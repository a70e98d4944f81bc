#include "bench/advice_rig.hpp"

#include <algorithm>
#include <array>
#include <atomic>
#include <cmath>
#include <optional>
#include <string>
#include <thread>
#include <vector>

#include "advise/closed_loop.hpp"
#include "listen/listener.hpp"
#include "rig/rig_settings.hpp"
#include "rig/trial.hpp"

namespace hushmill::bench {
namespace {

constexpr double kRate = 48000;
constexpr double kAirS = 1.5;
constexpr double kCutS = 4;
constexpr double kTrialS = 3;
constexpr int kTries = 3;

rig::RigSettings settings_for(const test::Scene& scene) {
  rig::RigSettings settings;
  settings.sample_rate_hz = kRate;
  settings.seed = scene.seed;
  const test::TrialCut& cut = scene.cut;
  settings.model.cutter = {cut.flutes, cut.diameter_mm, 30, {}, {}};
  settings.model.force.tangential_n_mm2 = cut.tangential_n_mm2;
  settings.model.force.radial_n_mm2 = cut.radial_ratio * cut.tangential_n_mm2;
  settings.model.force.process_damping_n_m = 1000 * cut.damping_n_mm;
  settings.model.structure = {};
  for (const test::TrialMode& mode : cut.modes)
    (mode.along_feed ? settings.model.structure.tool_x : settings.model.structure.tool_y)
        .push_back({mode.hz, mode.damping_ratio, mode.stiffness_n_m});
  settings.milling = cut.climb ? cutting::Milling::climb : cutting::Milling::conventional;
  settings.start.spindle_rpm = scene.programmed_rpm;
  settings.start.radial_mm = cut.engagement * cut.diameter_mm;
  settings.start.feed_per_tooth_mm = cut.feed_per_tooth_mm;
  settings.spindle.speed_error_percent = 100 * scene.speed_error;
  return settings;
}

bool chatters(rig::RigSettings settings, double rpm) {
  settings.start.spindle_rpm = rpm;
  return rig::try_cut(settings, kTrialS).chattered;
}

// A depth that chatters at the programmed speed, as far above the limit as the scene's own depth was.
std::optional<double> loud_depth_mm(rig::RigSettings settings, double overload) {
  const double rpm = settings.start.spindle_rpm;
  double quiet = 0;
  double loud = 0;
  for (double depth = 0.02; depth < 40 && loud == 0; depth *= 2) {
    settings.start.depth_mm = depth;
    (chatters(settings, rpm) ? loud : quiet) = depth;
  }
  if (loud == 0 || quiet == 0) return std::nullopt;
  for (int i = 0; i < 3; ++i) {
    settings.start.depth_mm = std::sqrt(quiet * loud);
    (chatters(settings, rpm) ? loud : quiet) = settings.start.depth_mm;
  }
  settings.start.depth_mm = loud * overload;
  if (!chatters(settings, rpm)) return std::nullopt;
  return settings.start.depth_mm;
}

struct Heard {
  double chatter_hz = 0;
  double true_rpm = 0;
  std::optional<double> growth_per_s;
};

std::optional<Heard> listen_to(rig::RigSettings settings, double rpm) {
  settings.start.spindle_rpm = rpm;
  settings.start.in_cut = false;
  rig::Rig machine(settings);
  listen::Listener listener({kRate, rpm, settings.model.cutter.flutes});
  std::vector<float> block(480);
  const int air = static_cast<int>(kAirS * kRate) / 480;
  const int all = air + static_cast<int>(kCutS * kRate) / 480;
  for (int i = 0; i < all; ++i) {
    if (i == air) {
      auto knobs = machine.controls();
      knobs.in_cut = true;
      machine.turn(knobs);
    }
    machine.process(block);
    listener.process(block);
  }
  listener.finish();
  const auto& findings = listener.findings();
  if (findings.episodes.empty()) return std::nullopt;
  const auto& episode = findings.episodes.back();
  Heard heard{episode.chatter_hz, findings.stretches.back().measured_rpm.value_or(rpm), {}};
  if (episode.growth_per_s > 0) heard.growth_per_s = episode.growth_per_s;
  return heard;
}

struct Outcome {
  bool curable = false;
  bool heard = true;  ///< every chatter on the way was
  int tries = 0;
};

Outcome follow(const test::Scene& scene, const rig::RigSettings& settings) {
  Outcome outcome;
  for (double rpm = scene.min_rpm; rpm <= scene.max_rpm && !outcome.curable; rpm *= 1.03)
    outcome.curable = !chatters(settings, rpm);
  if (!outcome.curable) return outcome;
  advise::Question asked;
  asked.flutes = scene.cut.flutes;
  asked.programmed_rpm = scene.programmed_rpm;
  asked.min_rpm = scene.min_rpm;
  asked.max_rpm = scene.max_rpm;
  if (scene.told_engagement) {
    asked.diameter_mm = scene.cut.diameter_mm;
    asked.radial_mm = settings.start.radial_mm;
    asked.milling = scene.cut.climb ? advise::Milling::climb : advise::Milling::conventional;
  }
  double rpm = scene.programmed_rpm;
  for (int attempt = 1; attempt <= kTries; ++attempt) {
    const auto heard = listen_to(settings, rpm);
    if (!heard) {
      outcome.heard = false;
      return outcome;
    }
    asked.spindle_rpm = rpm;
    asked.chatter_hz = heard->chatter_hz * rpm / heard->true_rpm;
    asked.growth_per_s = heard->growth_per_s;
    const advise::Advice advice = advise::advise(asked);
    if (!advice.prefer) return outcome;
    const auto& first = *advice.prefer == advise::Direction::lower ? advice.lower : advice.higher;
    asked.tried.push_back({rpm, advise::Outcome::chattered, asked.chatter_hz});
    rpm = first->spindle_rpm;
    if (chatters(settings, rpm)) continue;
    outcome.tries = attempt;
    return outcome;
  }
  return outcome;
}

}  // namespace

void report_rig(Report& report, int count, std::uint32_t seed) {
  if (count == 0) return;
  const auto scenes = test::draw_scenes(count, seed);
  std::vector<std::optional<Outcome>> outcomes(scenes.size());
  std::atomic<std::size_t> next{0};
  const auto work = [&] {
    for (std::size_t i = next++; i < scenes.size(); i = next++) {
      rig::RigSettings settings = settings_for(scenes[i]);
      const double overload = 1.1 + 0.1 * static_cast<double>(i % 12);
      const auto depth = loud_depth_mm(settings, overload);
      if (!depth) continue;
      settings.start.depth_mm = *depth;
      outcomes[i] = follow(scenes[i], settings);
    }
  };
  std::thread other(work);
  work();
  other.join();

  double loud = 0;
  double curable = 0;
  double unheard = 0;
  std::array<double, kTries> cured{};
  for (const auto& outcome : outcomes) {
    if (!outcome) continue;
    loud += 1;
    if (!outcome->curable) continue;
    curable += 1;
    unheard += outcome->heard ? 0 : 1;
    for (int most = 1; most <= kTries; ++most)
      if (outcome->tries != 0 && outcome->tries <= most) cured[static_cast<std::size_t>(most - 1)] += 1;
  }
  report.note("rig's sound, listener, advice, next cut: " + std::to_string(static_cast<int>(curable)) + " of " +
              std::to_string(static_cast<int>(loud)) + " set-ups that chatter are curable by some speed in reach");
  if (curable == 0) return;
  report.figure("by sound: chatter missed on the way", 100 * unheard / curable, "%");
  report.figure("by sound: cured in one try", 100 * cured[0] / curable, "%", at_least(75));
  report.figure("by sound: cured in three tries", 100 * cured[kTries - 1] / curable, "%", at_least(93));
}

}  // namespace hushmill::bench
