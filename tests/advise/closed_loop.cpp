#include "advise/closed_loop.hpp"

#include <algorithm>
#include <cmath>
#include <random>

namespace hushmill::test {

namespace {

class Dice {
 public:
  explicit Dice(std::uint32_t seed) : engine_(seed) {}
  double between(double low, double high) { return std::uniform_real_distribution<double>(low, high)(engine_); }
  double log_between(double low, double high) { return std::exp(between(std::log(low), std::log(high))); }
  double normal() { return std::normal_distribution<double>()(engine_); }
  bool chance(double p) { return between(0, 1) < p; }

 private:
  std::mt19937 engine_;
};

TrialCut draw_cut(Dice& dice) {
  TrialCut cut;
  const double hz = dice.log_between(300, 4000);
  const double stiffness = dice.log_between(4e6, 4e7);
  const double across =
      dice.chance(0.15) ? dice.between(3, 8) : std::exp(0.3 * dice.normal());  // a thin direction at times
  const bool x_main = dice.chance(0.5);
  cut.modes.push_back({x_main, hz, dice.between(0.01, 0.05), stiffness});
  cut.modes.push_back({!x_main, hz * dice.between(0.9, 1.12), dice.between(0.01, 0.05), stiffness * across});
  // A third has more than one mode: a second, mostly stiffer pair above, or a part that gives.
  if (dice.chance(1.0 / 3)) {
    if (dice.chance(0.6)) {
      const double above = dice.between(1.5, 3);
      cut.modes.push_back({true, hz * above, dice.between(0.01, 0.05), stiffness * dice.between(1, 5)});
      cut.modes.push_back(
          {false, hz * above * dice.between(0.93, 1.07), dice.between(0.01, 0.05), stiffness * dice.between(1, 5)});
    } else {
      cut.modes.push_back({dice.chance(0.4), hz * dice.log_between(0.4, 1.7), dice.between(0.01, 0.05),
                           stiffness * dice.between(1, 5)});
    }
  }
  cut.flutes = static_cast<int>(dice.between(2, 7));
  cut.diameter_mm = dice.log_between(6, 25);
  cut.engagement = dice.chance(0.2) ? 1.0 : dice.between(0.06, 1);
  cut.climb = dice.chance(0.6);
  cut.feed_per_tooth_mm = dice.between(0.04, 0.12);
  cut.tangential_n_mm2 = dice.log_between(600, 2200);
  cut.radial_ratio = dice.between(0.15, 0.5);
  cut.damping_n_mm = cut.tangential_n_mm2 * dice.between(0.02, 0.2);
  return cut;
}

// The least depth that chatters at the speed, by halving; none when even the deepest tried is quiet.
std::optional<double> chatter_depth_mm(TrialCut cut, double rpm) {
  double quiet = 0.002;
  double loud = 0;
  for (double depth = 0.02; depth < 40 && loud == 0; depth *= 2) {
    cut.depth_mm = depth;
    (run_trial(cut, rpm, std::nullopt, 0).chatters ? loud : quiet) = depth;
  }
  if (loud == 0) return std::nullopt;
  for (int i = 0; i < 5; ++i) {
    cut.depth_mm = std::sqrt(quiet * loud);
    (run_trial(cut, rpm, std::nullopt, 0).chatters ? loud : quiet) = cut.depth_mm;
  }
  return loud;
}

advise::Question question_for(const Scene& scene, const Reach& reach) {
  advise::Question asked;
  asked.flutes = scene.cut.flutes;
  asked.programmed_rpm = scene.programmed_rpm;
  asked.min_rpm = scene.min_rpm;
  asked.max_rpm = scene.max_rpm;
  if (reach.step_percent > 0) asked.knob_step_percent = reach.step_percent;
  if (scene.told_engagement) {
    asked.diameter_mm = scene.cut.diameter_mm;
    asked.radial_mm = scene.cut.engagement * scene.cut.diameter_mm;
    asked.milling = scene.cut.climb ? advise::Milling::climb : advise::Milling::conventional;
  }
  return asked;
}

// The damping is that of the mode whose tap lies nearest to the tone.
void tell_taps(const Scene& scene, double chatter_hz, advise::Question& asked) {
  Dice dice(scene.seed + 77);
  double nearest = 1e9;
  for (std::size_t i = 0; i < 2; ++i) {
    const TrialMode& mode = scene.cut.modes[i];
    asked.taps.push_back({mode.hz * (1 + 0.005 * dice.normal()), false});
    const double damping = mode.damping_ratio * (1 + 0.1 * dice.normal());
    const double off = std::abs(std::log(mode.hz / chatter_hz));
    if (off < nearest) nearest = off, asked.damping_ratio = damping;
  }
}

}  // namespace

std::vector<Scene> draw_scenes(int count, std::uint32_t seed) {
  std::vector<Scene> scenes;
  for (std::uint32_t i = 0; static_cast<int>(scenes.size()) < count; ++i) {
    Dice dice(seed * 100003U + i);
    Scene scene;
    scene.cut = draw_cut(dice);
    const double waves = dice.log_between(0.9, 9);
    const double wanted_rpm = 60 * scene.cut.modes.front().hz / (scene.cut.flutes * waves);
    scene.programmed_rpm = std::round(wanted_rpm / 10) * 10;
    const double overload = dice.log_between(1.08, 3);
    scene.min_rpm = scene.programmed_rpm * dice.between(0.4, 0.85);
    scene.max_rpm = scene.programmed_rpm * dice.between(1.1, 2.2);
    scene.told_engagement = dice.chance(0.5);
    scene.speed_error = 0.002 * dice.normal();
    if (i % 3 == 0) scene.noise_db = 10;
    scene.seed = i;
    if (wanted_rpm < 1500 || wanted_rpm > 18000) continue;
    const auto depth = chatter_depth_mm(scene.cut, scene.programmed_rpm);
    if (!depth) continue;
    scene.cut.depth_mm = *depth * overload;
    const TrialSound sound = run_trial(scene.cut, scene.programmed_rpm, scene.noise_db, i);
    const double heard_waves = sound.chatter_hz * 60 / (scene.programmed_rpm * scene.cut.flutes);
    if (!sound.chatters || heard_waves > 10) continue;
    scenes.push_back(scene);
  }
  return scenes;
}

const TrialSound& Machine::run(double spindle_rpm) {
  const int key = static_cast<int>(std::lround(spindle_rpm * 10));
  const auto found = known_.find(key);
  if (found != known_.end()) return found->second;
  return known_[key] = run_trial(scene_.cut, spindle_rpm, scene_.noise_db, scene_.seed);
}

std::vector<double> Reach::speeds(const Scene& scene) const {
  std::vector<double> all;
  if (step_percent <= 0) {
    for (double rpm = scene.min_rpm; rpm <= scene.max_rpm; rpm *= 1.01) all.push_back(rpm);
  } else {
    for (double percent = 50; percent <= 150 + 1e-9; percent += step_percent) {
      const double rpm = scene.programmed_rpm * percent / 100;
      if (rpm >= scene.min_rpm && rpm <= scene.max_rpm) all.push_back(rpm);
    }
  }
  return all;
}

double Reach::nearest(const Scene& scene, double spindle_rpm) const {
  if (step_percent <= 0) return std::clamp(spindle_rpm, scene.min_rpm, scene.max_rpm);
  const std::vector<double> all = speeds(scene);
  return *std::min_element(all.begin(), all.end(),
                           [&](double a, double b) { return std::abs(a - spindle_rpm) < std::abs(b - spindle_rpm); });
}

Followed follow_adviser(Machine& machine, const Reach& reach, int most, bool run_candidates) {
  Followed followed;
  const Scene& scene = machine.scene();
  advise::Question asked = question_for(scene, reach);
  if (scene.tapped) tell_taps(scene, machine.run(scene.programmed_rpm).chatter_hz, asked);
  double rpm = scene.programmed_rpm;
  for (int attempt = 1; attempt <= most; ++attempt) {
    const TrialSound& sound = machine.run(rpm);
    asked.spindle_rpm = rpm * (1 + scene.speed_error);
    asked.chatter_hz = sound.chatter_hz;
    asked.growth_per_s = sound.growth_per_s;
    const advise::Advice advice = advise::advise(asked);
    followed.gave_up = followed.gave_up || advice.speed_may_not_do;
    if (run_candidates && attempt == 1)
      for (const advise::Candidate& c : advice.candidates)
        followed.candidates.push_back({c.spindle_rpm, c.likelihood.value_or(0), !machine.run(c.spindle_rpm).chatters});
    if (!advice.prefer) return followed;
    const bool by_knob = reach.step_percent > 0;
    if (by_knob && !advice.knob) return followed;
    const advise::Candidate& first = by_knob                                      ? *advice.knob
                                     : *advice.prefer == advise::Direction::lower ? *advice.lower
                                                                                  : *advice.higher;
    asked.tried.push_back({asked.spindle_rpm, advise::Outcome::chattered, sound.chatter_hz});
    rpm = reach.nearest(scene, first.spindle_rpm);
    const bool quiet = !machine.run(rpm).chatters;
    followed.calls.push_back({rpm, first.likelihood.value_or(0), quiet});
    if (!quiet) continue;
    followed.tries = attempt;
    break;
  }
  return followed;
}

int tries_of_minus_ten(Machine& machine, const Reach& reach, int most) {
  const Scene& scene = machine.scene();
  for (int attempt = 1; attempt <= most; ++attempt) {
    const double rpm = reach.nearest(scene, scene.programmed_rpm * (1 - 0.1 * attempt));
    if (!machine.run(rpm).chatters) return attempt;
  }
  return 0;
}

int tries_of_plain_rule(Machine& machine, const Reach& reach, int most) {
  const Scene& scene = machine.scene();
  std::vector<double> tried{scene.programmed_rpm};
  double rpm = scene.programmed_rpm;
  for (int attempt = 1; attempt <= most; ++attempt) {
    const double heard_hz = machine.run(rpm).chatter_hz;
    std::optional<double> next;
    for (int k = 1; k <= 60; ++k) {
      const double plain = 60 * heard_hz / (scene.cut.flutes * k);
      if (plain < scene.min_rpm || plain > scene.max_rpm) continue;
      const double there = reach.nearest(scene, plain);
      const bool known =
          std::any_of(tried.begin(), tried.end(), [&](double t) { return std::abs(there / t - 1) < 0.01; });
      if (known) continue;
      if (!next || std::abs(std::log(there / rpm)) < std::abs(std::log(*next / rpm))) next = there;
    }
    if (!next) return 0;
    rpm = *next;
    tried.push_back(rpm);
    if (!machine.run(rpm).chatters) return attempt;
  }
  return 0;
}

// Quiet there and one percent to either side: no spindle holds its speed better than that.
bool steady(Machine& machine, double rpm) {
  return !machine.run(rpm).chatters && !machine.run(rpm / 1.01).chatters && !machine.run(1.01 * rpm).chatters;
}

std::optional<double> all_knowing(Machine& machine, const Reach& reach) {
  const std::vector<double> all = reach.speeds(machine.scene());
  std::optional<double> best;
  std::size_t widest = 0;
  for (std::size_t i = 0; i < all.size();) {
    std::size_t end = i;
    while (end < all.size() && steady(machine, all[end])) ++end;
    if (end - i > widest) widest = end - i, best = all[i + (end - i) / 2];
    i = end + 1;
  }
  return best;
}

}  // namespace hushmill::test
