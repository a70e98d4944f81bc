#include "support/nuisance.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "support/oscillator.hpp"

namespace hushmill::test {
namespace {

void add_pump(Chance& chance, double level, double begin_s, double rate_hz, std::vector<double>& sound) {
  const std::size_t n = sound.size();
  const double hz = chance.log_uniform(150, 2500), rise_s = chance.log_uniform(0.03, 1.0);
  Oscillator a, b, c;
  for (std::size_t i = 0; i < n; ++i) {
    const double t = static_cast<double>(i) / rate_hz;
    if (t < begin_s) continue;
    const double up = 1 - std::exp(-(t - begin_s) / rise_s);
    const double f = hz * (0.97 + 0.03 * up);
    sound[i] += level * up * (a.next(f, rate_hz) + 0.3 * b.next(2 * f, rate_hz) + 0.1 * c.next(3 * f, rate_hz));
  }
}

void add_beeper(Chance& chance, double level, double begin_s, double rate_hz, std::vector<double>& sound) {
  const std::size_t n = sound.size();
  const double hz = chance.log_uniform(700, 4000), period_s = chance.uniform(0.3, 1.2);
  Oscillator a, b;
  for (std::size_t i = 0; i < n; ++i) {
    const double t = static_cast<double>(i) / rate_hz - begin_s;
    if (t < 0) continue;
    const double on = std::fmod(t, period_s) < 0.5 * period_s ? 1.0 : 0.0;
    sound[i] += level * on * (a.next(hz, rate_hz) + 0.2 * b.next(3 * hz, rate_hz));
  }
}

void add_music(Chance& chance, double level, double begin_s, double rate_hz, std::vector<double>& sound) {
  const std::size_t n = sound.size();
  const double duration_s = static_cast<double>(n) / rate_hz;
  double next_s = begin_s;
  while (next_s < duration_s) {
    const double hz = 110 * std::pow(2.0, chance.whole(0, 40) / 12.0), length_s = chance.uniform(0.12, 0.8);
    const double strength = chance.uniform(0.3, 1.0), bright = chance.uniform(0.3, 0.9);
    std::vector<Oscillator> waves(8);
    const auto first = static_cast<std::size_t>(next_s * rate_hz);
    for (std::size_t i = first; i < n && static_cast<double>(i - first) < length_s * 1.5 * rate_hz; ++i) {
      const double t = static_cast<double>(i - first) / rate_hz;
      const double envelope = std::min(1.0, t / 0.01) * std::exp(-2 * t / length_s);
      double a = strength;
      for (std::size_t h = 0; h < waves.size(); ++h, a *= bright)
        sound[i] += level * envelope * a * waves[h].next(hz * static_cast<double>(h + 1), rate_hz);
    }
    next_s += chance.uniform(0.1, 0.5);
  }
}

void add_speech(Chance& chance, double level, double begin_s, double rate_hz, std::vector<double>& sound) {
  const std::size_t n = sound.size();
  const double duration_s = static_cast<double>(n) / rate_hz;
  double next_s = begin_s;
  while (next_s < duration_s) {
    const double pitch = chance.uniform(90, 240), length_s = chance.uniform(0.1, 0.35),
                 glide = chance.uniform(-0.25, 0.25);
    const double f1 = chance.uniform(300, 800), f2 = chance.uniform(900, 2300);
    std::vector<Oscillator> waves(25);
    const auto first = static_cast<std::size_t>(next_s * rate_hz);
    for (std::size_t i = first; i < n && static_cast<double>(i - first) < length_s * rate_hz; ++i) {
      const double t = static_cast<double>(i - first) / rate_hz;
      const double envelope = std::sin(std::numbers::pi * t / length_s);
      const double f0 = pitch * (1 + glide * t / length_s);
      for (std::size_t h = 0; h < waves.size(); ++h) {
        const double hz = f0 * static_cast<double>(h + 1);
        const double a = 1 / (1 + std::pow((hz - f1) / 120, 2)) + 0.6 / (1 + std::pow((hz - f2) / 180, 2));
        sound[i] += level * envelope * a * waves[h].next(hz, rate_hz);
      }
    }
    next_s += length_s + chance.uniform(0.02, 0.3);
  }
}

void add_air_blast(Chance& chance, double level, double begin_s, double rate_hz, std::vector<double>& sound) {
  const std::size_t n = sound.size();
  const double length_s = chance.uniform(0.2, 2.0);
  for (std::size_t i = 0; i < n; ++i) {
    const double t = static_cast<double>(i) / rate_hz - begin_s;
    if (t > 0 && t < length_s)
      sound[i] += 1.5 * level * chance.normal() * std::min({1.0, t / 0.02, (length_s - t) / 0.05});
  }
}

void add_knocks(Chance& chance, double level, double begin_s, double rate_hz, std::vector<double>& sound) {
  const std::size_t n = sound.size();
  const double duration_s = static_cast<double>(n) / rate_hz;
  double next_s = begin_s;
  while (next_s < duration_s) {
    const auto first = static_cast<std::size_t>(next_s * rate_hz);
    for (int ring = 0; ring < 4; ++ring) {
      const double hz = chance.log_uniform(200, 6000), decay = chance.log_uniform(10, 120),
                   a = chance.uniform(1.0, 4.0);
      Oscillator wave;
      for (std::size_t i = first; i < n; ++i) {
        const double e = std::exp(-decay * static_cast<double>(i - first) / rate_hz);
        if (e < 1e-4) break;
        sound[i] += level * a * e * wave.next(hz, rate_hz);
      }
    }
    next_s += chance.uniform(0.3, 2.0);
  }
}

// Another mill with its own teeth and runout, rumbling in and out.
void add_neighbour(Chance& chance, double level, double begin_s, double rate_hz, std::vector<double>& sound) {
  const double rotation_hz = chance.log_uniform(1500, 15000) / 60;
  const int flutes = chance.whole(2, 6);
  const double rise_s = chance.log_uniform(0.05, 0.6);
  const double fall = chance.uniform(0.3, 1.0);
  const double period_s = chance.uniform(1.5, 4);
  struct Tone {
    double hz, amplitude;
    Oscillator wave;
  };
  std::vector<Tone> tones;
  double power = 0;
  for (int k = 1; k * rotation_hz < 5000 && k <= 12 * flutes; ++k) {
    const double order = static_cast<double>(k) / flutes;
    const double runout = k % flutes == 0 ? 1.0 : 0.15 * std::exp(0.6 * chance.normal());
    const double a = runout * std::pow(std::max(order, 0.5), -fall) * std::exp(0.6 * chance.normal());
    tones.push_back({k * rotation_hz, a, {}});
    tones.back().wave.start(chance.uniform(0, 2 * std::numbers::pi));
    power += a * a;
  }
  const double scale = level / std::sqrt(power);
  for (std::size_t i = 0; i < sound.size(); ++i) {
    const double t = static_cast<double>(i) / rate_hz - begin_s;
    if (t < 0) continue;
    const double engaged = std::clamp(2.5 * std::sin(2 * std::numbers::pi * t / period_s) + 1.2, 0.0, 1.0);
    double sum = 0.1 * chance.normal();
    for (Tone& tone : tones) sum += tone.amplitude * tone.wave.next(tone.hz, rate_hz);
    sound[i] += scale * engaged * std::min(1.0, t / rise_s) * sum;
  }
}

// Speech and music at once through a loudspeaker that passes 300 to 3500 Hz.
void add_radio(Chance& chance, double level, double begin_s, double rate_hz, std::vector<double>& sound) {
  std::vector<double> program(sound.size());
  add_music(chance, 0.7 * level, begin_s, rate_hz, program);
  add_speech(chance, level, begin_s, rate_hz, program);
  const double low_share = 1 - std::exp(-2 * std::numbers::pi * 3500 / rate_hz);
  const double high_share = 1 - std::exp(-2 * std::numbers::pi * 300 / rate_hz);
  double low = 0, slow = 0;
  for (std::size_t i = 0; i < sound.size(); ++i) {
    low += low_share * (program[i] - low);
    slow += high_share * (low - slow);
    sound[i] += low - slow;
  }
}

// Mains at 50 or 60 Hz with mostly odd harmonics; there from the start or switched on.
void add_hum(Chance& chance, double level, double begin_s, double rate_hz, std::vector<double>& sound) {
  const double mains_hz = (chance.one_in(2) ? 50 : 60) * (1 + 0.0005 * chance.normal());
  const double from_s = chance.one_in(2) ? 0 : begin_s;
  std::vector<Oscillator> waves(20);
  std::vector<double> amplitude(waves.size());
  for (std::size_t h = 0; h < waves.size(); ++h) {
    waves[h].start(chance.uniform(0, 2 * std::numbers::pi));
    amplitude[h] =
        level * (h % 2 == 0 ? 1.0 : 0.25) / (1 + 0.5 * static_cast<double>(h)) * std::exp(0.4 * chance.normal());
  }
  for (std::size_t i = static_cast<std::size_t>(from_s * rate_hz); i < sound.size(); ++i)
    for (std::size_t h = 0; h < waves.size(); ++h)
      sound[i] += amplitude[h] * waves[h].next(mains_hz * static_cast<double>(h + 1), rate_hz);
}

// Blades and rush; runs up within two seconds, then wanders a little.
void add_fan(Chance& chance, double level, double begin_s, double rate_hz, std::vector<double>& sound) {
  const double blade_hz = chance.log_uniform(80, 600), run_up_s = chance.uniform(0.3, 2.0);
  const double from_s = chance.one_in(2) ? -3.0 : begin_s;
  const double wander = chance.uniform(0.001, 0.01), wander_hz = chance.uniform(0.1, 0.6);
  std::vector<Oscillator> waves(5);
  double low = 0;
  for (std::size_t i = 0; i < sound.size(); ++i) {
    const double t = static_cast<double>(i) / rate_hz - from_s;
    if (t < 0) continue;
    const double turning = 1 - std::exp(-t / run_up_s);
    const double hz = blade_hz * turning * (1 + wander * std::sin(2 * std::numbers::pi * wander_hz * t));
    low += 0.08 * (chance.normal() - low);
    double sum = 1.5 * low;
    for (std::size_t h = 0; h < waves.size(); ++h)
      sum += waves[h].next(hz * static_cast<double>(h + 1), rate_hz) / std::pow(static_cast<double>(h + 1), 1.2);
    sound[i] += 0.7 * level * turning * turning * sum;
  }
}

}  // namespace

const char* word(Nuisance nuisance) noexcept {
  constexpr const char* kWords[] = {
      "none",          "pump",          "beeper",         "music",       "speech",    "air blast", "knocks", "corner",
      "wrong speed",   "runout",        "droop",          "second cut",  "neighbour", "radio",     "hum",    "fan",
      "override step", "override ramp", "entry and exit", "tool change", "forced",    "no cut"};
  return kWords[static_cast<int>(nuisance)];
}

bool is_sound(Nuisance nuisance) noexcept {
  switch (nuisance) {
    case Nuisance::pump:
    case Nuisance::beeper:
    case Nuisance::music:
    case Nuisance::speech:
    case Nuisance::air_blast:
    case Nuisance::knocks:
    case Nuisance::neighbour:
    case Nuisance::radio:
    case Nuisance::hum:
    case Nuisance::fan:
      return true;
    default:
      return false;
  }
}

bool is_tonal(Nuisance nuisance) noexcept {
  return is_sound(nuisance) && nuisance != Nuisance::air_blast && nuisance != Nuisance::knocks;
}

void add_nuisance(Nuisance nuisance, Chance& chance, double level, double begin_s, double rate_hz,
                  std::vector<double>& sound) {
  switch (nuisance) {
    case Nuisance::pump:
      return add_pump(chance, level, begin_s, rate_hz, sound);
    case Nuisance::beeper:
      return add_beeper(chance, level, begin_s, rate_hz, sound);
    case Nuisance::music:
      return add_music(chance, level, begin_s, rate_hz, sound);
    case Nuisance::speech:
      return add_speech(chance, level, begin_s, rate_hz, sound);
    case Nuisance::air_blast:
      return add_air_blast(chance, level, begin_s, rate_hz, sound);
    case Nuisance::knocks:
      return add_knocks(chance, level, begin_s, rate_hz, sound);
    case Nuisance::neighbour:
      return add_neighbour(chance, level, begin_s, rate_hz, sound);
    case Nuisance::radio:
      return add_radio(chance, level, begin_s, rate_hz, sound);
    case Nuisance::hum:
      return add_hum(chance, level, begin_s, rate_hz, sound);
    case Nuisance::fan:
      return add_fan(chance, level, begin_s, rate_hz, sound);
    default:
      return;
  }
}

}  // namespace hushmill::test
