#include "support/tapped.hpp"

#include <algorithm>
#include <cmath>
#include <complex>
#include <cstddef>
#include <numbers>

namespace hushmill::test {

namespace {
constexpr double kTapTurn = 2 * std::numbers::pi;

struct Push {
  double at_s, strength;
};

double force(const std::vector<Push>& pushes, double contact_s, double t_s) {
  double sum = 0;
  for (const auto& push : pushes)
    if (t_s > push.at_s && t_s < push.at_s + contact_s)
      sum += push.strength * std::sin(std::numbers::pi * (t_s - push.at_s) / contact_s);
  return sum;
}

// Acceleration of one mode, its ring scaled to `loudness` at a push much shorter than its wave. The exact step of an oscillator
// under a force that is held for a fraction of a sample.
void add_mode(std::vector<double>& out, const TappedThing& thing, const TappedMode& mode, const std::vector<Push>& pushes) {
  constexpr int kSteps = 8;
  const double w = kTapTurn * mode.natural_hz;
  const double s = mode.damping_ratio * w;
  const double wd = w * std::sqrt(1 - mode.damping_ratio * mode.damping_ratio);
  // q'' + 2 s q' + w² q = f; the push holds 2·contact/π of momentum, so the ring's acceleration is w·momentum.
  const double scale = mode.loudness / (2 * thing.contact_s / std::numbers::pi * w);
  double q = 0, v = 0;
  struct Step {
    double h, e, c, d;
  };
  const auto step_of = [&](double h) { return Step{h, std::exp(-s * h), std::cos(wd * h), std::sin(wd * h)}; };
  const Step small = step_of(1 / (thing.sample_rate_hz * kSteps)), whole = step_of(1 / thing.sample_rate_hz);
  const auto go = [&](const Step& step, double f) {
    const double rest = f / (w * w);
    const double q0 = q - rest;
    q = rest + step.e * (q0 * (step.c + s / wd * step.d) + v / wd * step.d);
    v = step.e * (v * (step.c - s / wd * step.d) - q0 * w * w / wd * step.d);
  };
  for (std::size_t n = 0; n < out.size(); ++n) {
    const double t = static_cast<double>(n) / thing.sample_rate_hz;
    const bool pushed = std::any_of(pushes.begin(), pushes.end(), [&](const Push& push) { return t > push.at_s - 2 * whole.h && t < push.at_s + thing.contact_s + whole.h; });
    if (!pushed) {
      if (q != 0 || v != 0) go(whole, 0);
    } else {
      for (int k = 0; k < kSteps; ++k) go(small, force(pushes, thing.contact_s, t + (k + 0.5) * small.h));
    }
    out[n] += scale * (-2 * s * v - w * w * q);  // without the push itself, which moves no air
  }
}

constexpr double kFirstEchoS = 0.0015;
constexpr double kEchoEveryS = 0.002;

// Early reflections and a tail of many, as a list of delayed copies.
void add_room(std::vector<double>& x, const TappedThing& thing, Chance& chance) {
  if (thing.room_share <= 0) return;
  struct Copy {
    std::size_t samples;
    double gain;
  };
  std::vector<Copy> copies;
  double energy = 0;
  const double rate = thing.sample_rate_hz;
  for (double t = kFirstEchoS; t < thing.room_tail_s; t += -std::log(1 - chance.uniform()) * kEchoEveryS) {
    const double gain = chance.normal() * std::pow(10, -3 * t / thing.room_tail_s);
    copies.push_back({static_cast<std::size_t>(t * rate), gain});
    energy += gain * gain;
  }
  const double scale = std::sqrt(thing.room_share / energy);
  const std::vector<double> dry = x;
  for (const auto& copy : copies)
    for (std::size_t n = copy.samples; n < x.size(); ++n) x[n] += scale * copy.gain * dry[n - copy.samples];
}
}  // namespace

TappedSound make_tapped(const TappedThing& thing, std::uint64_t seed) {
  Chance chance(seed);
  const auto size = static_cast<std::size_t>(thing.duration_s * thing.sample_rate_hz);
  TappedSound sound;
  std::vector<double> x(size);
  std::vector<double> energies;
  for (const auto& mode : thing.modes) {
    std::vector<Push> pushes;
    double squares = 0;
    for (const auto& hit : thing.hits) {
      const double strength = hit.strength * std::pow(10, chance.normal() * thing.mode_spread_db / 20);
      pushes.push_back({hit.at_s, strength});
      if (hit.again_after_s > 0) pushes.push_back({hit.at_s + hit.again_after_s, strength * hit.again_strength});
      squares += strength * strength;
    }
    add_mode(x, thing, mode, pushes);
    // Spectrum of the half-sine push, and the energy of a decaying sine.
    const double u = 2 * mode.natural_hz * thing.contact_s;
    const double pushed = std::abs(u - 1) < 1e-6 ? std::numbers::pi / 4 : std::abs(std::cos(std::numbers::pi * u / 2) / (1 - u * u));
    const double decay = mode.damping_ratio * kTapTurn * mode.natural_hz;
    energies.push_back(std::pow(mode.loudness * pushed, 2) * squares / decay);
    auto& peaks = sound.ring_peak.emplace_back();
    for (const auto& push : pushes)
      if (std::any_of(thing.hits.begin(), thing.hits.end(), [&](const Hit& hit) { return hit.at_s == push.at_s; })) peaks.push_back(mode.loudness * pushed * push.strength);
  }
  // The push is heard itself, a little: the struck place and the hammer's head jump.
  if (thing.click > 0) {
    double top = 0;
    for (const double v : x) top = std::max(top, std::abs(v));
    for (const auto& hit : thing.hits) {
      std::vector<Push> pushes{{hit.at_s, hit.strength}};
      if (hit.again_after_s > 0) pushes.push_back({hit.at_s + hit.again_after_s, hit.strength * hit.again_strength});
      for (const auto& push : pushes)
        for (auto n = static_cast<std::size_t>(push.at_s * thing.sample_rate_hz); n < std::min(size, static_cast<std::size_t>((push.at_s + thing.contact_s) * thing.sample_rate_hz) + 2); ++n)
          x[n] += thing.click * top * force({push}, thing.contact_s, static_cast<double>(n) / thing.sample_rate_hz);
    }
  }
  const double strongest = energies.empty() ? 1 : *std::max_element(energies.begin(), energies.end());
  for (const double energy : energies) sound.ring_level_db.push_back(10 * std::log10(energy / strongest));
  add_room(x, thing, chance);

  double ring = 0;
  std::size_t counted = 0;
  for (const auto& hit : thing.hits)
    for (auto n = static_cast<std::size_t>(hit.at_s * thing.sample_rate_hz); n < static_cast<std::size_t>((hit.at_s + 0.05) * thing.sample_rate_hz) && n < size; ++n, ++counted)
      ring += x[n] * x[n];
  const double effective = counted > 0 ? std::sqrt(ring / static_cast<double>(counted)) : 1;
  const double noise = effective * std::pow(10, -thing.noise_below_db / 20);
  const double corner = std::exp(-kTapTurn * 200 / thing.sample_rate_hz);
  const double to_one = std::sqrt((1 - corner * corner)) ;
  double dull = 0;
  for (double& v : x) {
    dull = corner * dull + to_one * chance.normal();
    v += noise * (std::sqrt(1 - thing.dull_noise) * chance.normal() + std::sqrt(thing.dull_noise) * dull);
  }
  for (const auto& tone : thing.tones) {
    const double phase = chance.uniform(0, kTapTurn);
    for (std::size_t n = 0; n < size; ++n) x[n] += noise * tone.peak * std::sin(phase + kTapTurn * tone.hz * static_cast<double>(n) / thing.sample_rate_hz);
  }
  double highest = 1e-30;
  for (const double v : x) highest = std::max(highest, std::abs(v));
  for (const double v : x) sound.samples.push_back(static_cast<float>(v * thing.peak / highest));
  for (auto& peaks : sound.ring_peak)
    for (double& peak : peaks) peak *= thing.peak / highest;
  sound.noise = noise * thing.peak / highest;
  return sound;
}

double room_answer(const TappedThing& thing, double from_s, double to_s) {
  if (thing.room_share <= 0) return 0;
  // The first echo, which always comes, then one every two milliseconds on average, 60 dB weaker at the end.
  const double decay = 6 * std::log(10.0) / thing.room_tail_s;
  const auto until = [&](double t) {
    if (t <= kFirstEchoS) return 0.0;
    t = std::min(t, thing.room_tail_s);
    return std::exp(-decay * kFirstEchoS) + (std::exp(-decay * kFirstEchoS) - std::exp(-decay * t)) / (decay * kEchoEveryS);
  };
  return thing.room_share * (until(to_s) - until(from_s)) / until(thing.room_tail_s);
}

namespace {
TappedThing draw_around(Chance& chance, double noise_below_db) {
  TappedThing thing;
  thing.sample_rate_hz = std::vector<double>{48000, 48000, 44100, 96000}[static_cast<std::size_t>(chance.whole(0, 3))];
  thing.contact_s = chance.log_uniform(0.00015, 0.0008);
  const int hits = chance.whole(3, 5);
  double at_s = chance.uniform(0.6, 1.0);
  for (int k = 0; k < hits; ++k) {
    Hit hit{.at_s = at_s, .strength = std::pow(10, chance.uniform(-5, 0) / 20)};
    if (k > 0 && k + 1 < hits && chance.one_in(8)) {
      hit.again_after_s = chance.uniform(0.015, 0.06);
      hit.again_strength = chance.uniform(0.4, 0.9);
    }
    thing.hits.push_back(hit);
    at_s += chance.uniform(0.7, 1.3);
  }
  thing.duration_s = at_s + 0.3;
  thing.mode_spread_db = 1.5;
  thing.click = chance.log_uniform(0.05, 0.5);
  thing.room_share = chance.log_uniform(0.003, 0.03);
  thing.room_tail_s = chance.uniform(0.3, 0.8);
  thing.noise_below_db = noise_below_db;
  thing.dull_noise = chance.uniform(0, 0.8);
  thing.peak = chance.uniform(0.05, 0.8);
  if (chance.one_in(3))
    for (const int k : {1, 2, 3, 5}) thing.tones.push_back({50.0 * k, chance.uniform(0.1, 0.8)});
  if (chance.one_in(2))
    for (int k = chance.whole(1, 2); k > 0; --k) thing.tones.push_back({chance.log_uniform(80, 6000), chance.uniform(0.2, 1.2)});
  return thing;
}
}  // namespace

TappedThing draw_tapped(std::uint64_t seed, double noise_below_db) {
  Chance chance(Chance(seed).next());
  auto thing = draw_around(chance, noise_below_db);
  const int modes = chance.whole(1, 4);
  for (int tries = 0; static_cast<int>(thing.modes.size()) < modes && tries < 1000; ++tries) {
    const TappedMode mode{chance.log_uniform(50, 10000), chance.log_uniform(0.0005, 0.08), std::pow(10, chance.uniform(-12, 0) / 20)};
    // As far apart as 3 % is at 1 % of damping, three times the damping ratio; a push that cannot reach it is left out.
    if (mode.natural_hz > 1.3 / thing.contact_s) continue;
    const bool apart = std::all_of(thing.modes.begin(), thing.modes.end(), [&](const auto& other) {
      return std::abs(std::log(other.natural_hz / mode.natural_hz)) > std::max(0.03, 3 * std::max(other.damping_ratio, mode.damping_ratio));
    });
    if (apart) thing.modes.push_back(mode);
  }
  return thing;
}

TappedThing draw_close_pair(std::uint64_t seed, double noise_below_db) {
  Chance chance(Chance(seed + 1000000).next());
  auto thing = draw_around(chance, noise_below_db);
  const double hz = chance.log_uniform(200, 1.0 / thing.contact_s);
  thing.modes = {{hz, 0.01, std::pow(10, chance.uniform(-6, 0) / 20)}, {1.03 * hz, 0.01, std::pow(10, chance.uniform(-6, 0) / 20)}};
  return thing;
}

}  // namespace hushmill::test
