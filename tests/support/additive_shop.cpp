#include "support/additive_shop.hpp"

#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>

namespace hushmill::test {

namespace {
constexpr double kTwoPi = 2.0 * std::numbers::pi;

// A sine of slowly changing frequency and amplitude, one rotating phasor a sample.
struct Oscillator {
  std::complex<double> phasor{1.0, 0.0};
  void start(double phase) { phasor = std::polar(1.0, phase); }
  double next(double hz, double rate_hz) {
    const double w = kTwoPi * hz / rate_hz;
    phasor *= std::complex<double>(std::cos(w), std::sin(w));
    return phasor.imag();
  }
};

struct Resonance {
  double hz, damping, gain;
  double at(double f) const {
    const double r = f / hz;
    return gain / std::sqrt((1 - r * r) * (1 - r * r) + 4 * damping * damping * r * r);
  }
};

double rms(const std::vector<double>& x, std::size_t from, std::size_t to) {
  double s = 0;
  for (std::size_t i = from; i < to; ++i) s += x[i] * x[i];
  return std::sqrt(s / static_cast<double>(std::max<std::size_t>(1, to - from)));
}

// Noise with a spectrum that falls towards high frequency, plus a broad hump: coolant and fans.
std::vector<double> shop_noise(Chance& chance, std::size_t n, double rate_hz) {
  std::vector<double> out(n);
  double slow = 0, mid = 0, y1 = 0, y2 = 0;
  const double hump_hz = chance.log_uniform(400, 4000);
  const double r = std::exp(-kTwoPi * hump_hz * 0.35 / rate_hz);
  const double c = 2 * r * std::cos(kTwoPi * hump_hz / rate_hz);
  const double hump = chance.uniform(0.0, 0.12), hiss = chance.uniform(0.02, 0.4);
  for (auto& o : out) {
    const double w = chance.normal();
    slow += 0.004 * (w - slow);
    mid += 0.06 * (w - mid);
    const double y = w + c * y1 - r * r * y2;
    y2 = y1;
    y1 = y;
    o = 12 * slow + 2 * mid + hump * y + hiss * w;
  }
  return out;
}
}  // namespace

std::uint64_t Chance::next() noexcept {
  std::uint64_t z = (state_ += 0x9E3779B97F4A7C15ULL);
  z = (z ^ (z >> 30U)) * 0xBF58476D1CE4E5B9ULL;
  z = (z ^ (z >> 27U)) * 0x94D049BB133111EBULL;
  return z ^ (z >> 31U);
}
double Chance::uniform() noexcept { return static_cast<double>(next() >> 11U) * 0x1.0p-53; }
double Chance::log_uniform(double low, double high) noexcept {
  return std::exp(uniform(std::log(low), std::log(high)));
}
double Chance::normal() noexcept {
  const double u = 1.0 - uniform();
  return std::sqrt(-2.0 * std::log(u)) * std::cos(kTwoPi * uniform());
}

const char* word(Nuisance nuisance) noexcept {
  constexpr const char* kWords[] = {"none",   "pump",   "beeper",      "music",  "speech", "air blast",
                                    "knocks", "corner", "wrong speed", "runout", "droop",  "second cut"};
  return kWords[static_cast<int>(nuisance)];
}

ShopSound make_shop_sound(const ShopSettings& settings) {
  Chance chance(settings.seed);
  const double rate = settings.sample_rate_hz;
  const auto n = static_cast<std::size_t>(settings.duration_s * rate);
  ShopSound shop;
  shop.sample_rate_hz = rate;
  shop.flutes = chance.whole(2, 6);
  shop.entered_rpm = std::round(chance.log_uniform(1500, 18000) / 10) * 10;
  const double most_error = settings.nuisance == Nuisance::wrong_speed ? 0.02 : 0.006;
  shop.true_rpm = shop.entered_rpm * (1 + chance.uniform(-most_error, 0.3 * most_error));
  shop.cut_start_s = chance.uniform(1.3, 2.2);
  shop.cut_end_s = settings.duration_s - (chance.one_in(2) ? 0.0 : chance.uniform(0.5, 1.2));
  const double f_rot = shop.true_rpm / 60;
  const double f_tooth = f_rot * shop.flutes;

  // Engagement over time: ramp in, steady, ramp out; a corner doubles it for a moment.
  const double ramp_s = chance.log_uniform(0.03, 0.4);
  const double corner_s = chance.uniform(3.2, 4.5), corner_width_s = chance.uniform(0.2, 0.5);
  const double gap_s = chance.uniform(3.5, 4.5);
  const auto engagement = [&](double t) {
    double e =
        std::clamp((t - shop.cut_start_s) / ramp_s, 0.0, 1.0) * std::clamp((shop.cut_end_s - t) / ramp_s, 0.0, 1.0);
    if (settings.nuisance == Nuisance::corner) {
      const double d = (t - corner_s) / corner_width_s;
      e *= 1 + 1.2 * std::exp(-d * d);
    }
    if (settings.nuisance == Nuisance::second_cut && t > gap_s && t < gap_s + 0.9)
      e *= std::clamp(std::abs(t - gap_s - 0.45) / 0.05 - 8.0, 0.0, 1.0);
    return e;
  };

  // Structure: what the sound's path and the machine do to every force line.
  std::vector<Resonance> structure;
  for (int i = 0; i < 3; ++i)
    structure.push_back({chance.log_uniform(300, 4500), chance.uniform(0.015, 0.08), chance.uniform(0.1, 0.6)});
  const auto gain = [&](double hz) {
    double g = 0.25;
    for (const auto& r : structure) g += r.at(hz);
    return g / (1 + hz / 6000);
  };

  // The healthy cut: tooth and runout lines, each wandering a little in level, and noise that beats with the teeth.
  struct CutLine {
    double order, amplitude, phase;
    Oscillator wave;
  };
  std::vector<CutLine> cut_lines;
  const double fall = chance.uniform(0.3, 1.1);
  const double runout =
      settings.nuisance == Nuisance::runout ? chance.uniform(0.5, 1.5) : chance.log_uniform(0.02, 0.5);
  for (int k = 1; k * f_rot < std::min(9000.0, 0.45 * rate) && k < 400; ++k) {
    const bool tooth = k % shop.flutes == 0;
    const double order = static_cast<double>(k) / shop.flutes;
    double a = std::pow(std::max(order, 0.5), -fall) * gain(k * f_rot) * std::exp(0.5 * chance.normal());
    if (!tooth) a *= runout * std::exp(0.7 * chance.normal());
    if (a < 1e-4) continue;
    CutLine line{static_cast<double>(k), a, chance.uniform(0, kTwoPi), {}};
    line.wave.start(line.phase);
    cut_lines.push_back(line);
  }
  std::vector<double> cut(n), chatter(n), nuisance(n);
  const auto cut_noise = shop_noise(chance, n, rate);
  const double noise_share = chance.uniform(0.05, 0.5);
  const double droop =
      settings.nuisance == Nuisance::droop ? -chance.uniform(0.002, 0.008) : -chance.uniform(0.0, 0.001);
  double tooth_phase = 0, wander = 0;
  std::vector<double> speed_ratio(n);
  for (std::size_t i = 0; i < n; ++i) {
    const double t = static_cast<double>(i) / rate;
    wander += 0.0002 * (chance.normal() - 0.01 * wander);
    const double e = engagement(t);
    speed_ratio[i] = 1 - droop * (1 - std::min(1.0, e));
    tooth_phase += kTwoPi * f_tooth * speed_ratio[i] / rate;
    if (e <= 0) {
      for (auto& line : cut_lines) line.wave.next(line.order * f_rot * speed_ratio[i], rate);
      continue;
    }
    double sum = 0;
    for (auto& line : cut_lines) sum += line.amplitude * line.wave.next(line.order * f_rot * speed_ratio[i], rate);
    cut[i] = e * (1 + 0.1 * wander) * (sum + noise_share * cut_noise[i] * (1 + 0.6 * std::cos(tooth_phase)));
  }
  const auto from = static_cast<std::size_t>((shop.cut_start_s + ramp_s) * rate);
  const auto to = static_cast<std::size_t>(std::min(shop.cut_end_s - ramp_s, 3.1) * rate);
  const double cut_rms = rms(cut, from, std::max(to, from + 100));

  if (settings.chatter) {
    shop.chatter = true;
    shop.period_doubling = chance.one_in(8);
    const double f_n = chance.log_uniform(std::max(300.0, 0.6 * f_tooth), 4000);
    const int order = std::max(0, static_cast<int>(f_n / f_tooth));
    const double fraction = shop.period_doubling ? 0.5 : chance.uniform(0.12, 0.88);
    const double f_c = (order + fraction) * f_tooth;
    const double growth = chance.log_uniform(8, 90);  // amplitude, 1/s
    const double start_s = chance.uniform(3.0, 4.2);
    const double saturated = cut_rms * std::pow(10.0, chance.uniform(-4, 14) / 20.0) * std::numbers::sqrt2;
    const double seed_level = saturated * 1e-4;
    struct Member {
      double hz, relative;
      Oscillator wave;
    };
    std::vector<Member> members;
    const double side = chance.uniform(0.05, 0.45);
    for (int k = -6; k <= 6; ++k)
      for (const int sign : {1, -1}) {
        if (sign == -1 && shop.period_doubling) continue;
        const double hz = sign * f_c + (k + (sign < 0 ? 2 * order + 1 : 0)) * f_tooth;
        if (hz < 50 || hz > 0.42 * rate) continue;
        const double away = std::abs(hz - f_c) / f_tooth;
        const double relative =
            (sign == 1 && k == 0)
                ? 1.0
                : side * std::exp(-0.35 * away) * std::exp(0.6 * chance.normal()) * std::min(1.5, gain(hz) / gain(f_c));
        members.push_back({hz, relative, {}});
        members.back().wave.start(chance.uniform(0, kTwoPi));
      }
    const double shift = chance.uniform(-0.008, 0.002);
    const double stop_s = chance.one_in(3) ? chance.uniform(5.5, 6.8) : settings.duration_s;
    shop.chatter_end_s = std::min(stop_s, shop.cut_end_s);
    double level = 0, drift = 0;
    double energy_off = 0, energy_on = 0;
    const double keep = 1.0 / (4.0 / f_rot * rate);
    for (std::size_t i = 0; i < n; ++i) {
      const double t = static_cast<double>(i) / rate;
      if (t < start_s) {
        energy_on += keep * (cut[i] * cut[i] - energy_on);
        continue;
      }
      const double e = engagement(t);
      if (t < stop_s && e > 0.3) level = std::max(level, seed_level);
      const double rate_now = (t < stop_s && e > 0.3) ? growth * (1 - level / (saturated * std::min(1.0, e))) : -60.0;
      level *= std::exp(std::clamp(rate_now, -200.0, 200.0) / rate);
      const double depth = level / saturated;
      drift += 0.0005 * (chance.normal() - 0.003 * drift);
      double sum = 0;
      for (auto& member : members) {
        const double bend = shop.period_doubling ? 0.0 : (shift * (1 - depth) + 2e-5 * drift) * f_c;
        const double sign = std::fmod(member.hz, f_tooth) - std::fmod(f_c, f_tooth);
        const double hz =
            member.hz * speed_ratio[i] +
            (std::abs(sign) < 1e-6 * f_tooth || std::abs(std::abs(sign) - f_tooth) < 1e-6 * f_tooth ? bend : -bend);
        const double relative = member.relative == 1.0 ? 1.0 : member.relative * (0.35 + 0.65 * depth);
        sum += relative * member.wave.next(hz, rate);
      }
      chatter[i] = level * sum;
      cut[i] *= 1 - 0.4 * depth;
      energy_off += keep * (chatter[i] * chatter[i] - energy_off);
      energy_on += keep * (cut[i] * cut[i] - energy_on);
      if (shop.onset_s == 0 && t > start_s + 0.01 && energy_off > 0.2 * energy_on && energy_on > 0) shop.onset_s = t;
    }
    double strongest = 0;
    for (const auto& member : members)
      if (member.relative > strongest) {
        strongest = member.relative;
        shop.chatter_hz = member.hz;
      }
    shop.chatter_over_cut_db = 20 * std::log10(saturated / std::numbers::sqrt2 / cut_rms);
    if (shop.onset_s == 0) shop.onset_s = -1;
  }

  // What else sounds in the shop.
  const double loud = cut_rms * std::pow(10.0, chance.uniform(-8, 6) / 20.0) * std::numbers::sqrt2;
  const double begin_s = chance.uniform(3.0, 4.5);
  switch (settings.nuisance) {
    case Nuisance::pump: {
      const double hz = chance.log_uniform(150, 2500), rise_s = chance.log_uniform(0.03, 1.0);
      Oscillator a, b, c;
      for (std::size_t i = 0; i < n; ++i) {
        const double t = static_cast<double>(i) / rate;
        if (t < begin_s) continue;
        const double up = 1 - std::exp(-(t - begin_s) / rise_s);
        const double f = hz * (0.97 + 0.03 * up);
        nuisance[i] = loud * up * (a.next(f, rate) + 0.3 * b.next(2 * f, rate) + 0.1 * c.next(3 * f, rate));
      }
      break;
    }
    case Nuisance::beeper: {
      const double hz = chance.log_uniform(700, 4000), period_s = chance.uniform(0.3, 1.2);
      Oscillator a, b;
      for (std::size_t i = 0; i < n; ++i) {
        const double t = static_cast<double>(i) / rate - begin_s;
        if (t < 0) continue;
        const double on = std::fmod(t, period_s) < 0.5 * period_s ? 1.0 : 0.0;
        nuisance[i] = loud * on * (a.next(hz, rate) + 0.2 * b.next(3 * hz, rate));
      }
      break;
    }
    case Nuisance::music: {
      double next_s = begin_s;
      while (next_s < settings.duration_s) {
        const double hz = 110 * std::pow(2.0, chance.whole(0, 40) / 12.0), length_s = chance.uniform(0.12, 0.8);
        const double strength = chance.uniform(0.3, 1.0), bright = chance.uniform(0.3, 0.9);
        std::vector<Oscillator> waves(8);
        const auto first = static_cast<std::size_t>(next_s * rate);
        for (std::size_t i = first; i < n && static_cast<double>(i - first) < length_s * 1.5 * rate; ++i) {
          const double t = static_cast<double>(i - first) / rate;
          const double envelope = std::min(1.0, t / 0.01) * std::exp(-2 * t / length_s);
          double a = strength;
          for (std::size_t h = 0; h < waves.size(); ++h, a *= bright)
            nuisance[i] += loud * envelope * a * waves[h].next(hz * static_cast<double>(h + 1), rate);
        }
        next_s += chance.uniform(0.1, 0.5);
      }
      break;
    }
    case Nuisance::speech: {
      double next_s = begin_s;
      while (next_s < settings.duration_s) {
        const double pitch = chance.uniform(90, 240), length_s = chance.uniform(0.1, 0.35),
                     glide = chance.uniform(-0.25, 0.25);
        const double f1 = chance.uniform(300, 800), f2 = chance.uniform(900, 2300);
        std::vector<Oscillator> waves(25);
        const auto first = static_cast<std::size_t>(next_s * rate);
        for (std::size_t i = first; i < n && static_cast<double>(i - first) < length_s * rate; ++i) {
          const double t = static_cast<double>(i - first) / rate;
          const double envelope = std::sin(std::numbers::pi * t / length_s);
          const double f0 = pitch * (1 + glide * t / length_s);
          for (std::size_t h = 0; h < waves.size(); ++h) {
            const double hz = f0 * static_cast<double>(h + 1);
            const double a = 1 / (1 + std::pow((hz - f1) / 120, 2)) + 0.6 / (1 + std::pow((hz - f2) / 180, 2));
            nuisance[i] += loud * envelope * a * waves[h].next(hz, rate);
          }
        }
        next_s += length_s + chance.uniform(0.02, 0.3);
      }
      break;
    }
    case Nuisance::air_blast: {
      const double length_s = chance.uniform(0.2, 2.0);
      for (std::size_t i = 0; i < n; ++i) {
        const double t = static_cast<double>(i) / rate - begin_s;
        if (t > 0 && t < length_s)
          nuisance[i] = 1.5 * loud * chance.normal() * std::min({1.0, t / 0.02, (length_s - t) / 0.05});
      }
      break;
    }
    case Nuisance::knocks: {
      double next_s = begin_s;
      while (next_s < settings.duration_s) {
        const auto first = static_cast<std::size_t>(next_s * rate);
        for (int ring = 0; ring < 4; ++ring) {
          const double hz = chance.log_uniform(200, 6000), decay = chance.log_uniform(10, 120),
                       a = chance.uniform(1.0, 4.0);
          Oscillator wave;
          for (std::size_t i = first; i < n; ++i) {
            const double e = std::exp(-decay * static_cast<double>(i - first) / rate);
            if (e < 1e-4) break;
            nuisance[i] += loud * a * e * wave.next(hz, rate);
          }
        }
        next_s += chance.uniform(0.3, 2.0);
      }
      break;
    }
    default:
      break;
  }

  // The room itself: noise, hum, fans; there from the start.
  auto room = shop_noise(chance, n, rate);
  const double room_noise_rms = rms(room, 0, n);
  std::vector<Oscillator> tones(8);
  std::vector<double> tone_hz, tone_level;
  for (int h = 0; h < 3; ++h) {
    tone_hz.push_back(100.0 * (h + 1));
    tone_level.push_back(chance.uniform(0.0, 0.5) / (h + 1));
  }
  for (int i = 0; i < 5; ++i) {
    tone_hz.push_back(chance.log_uniform(120, 4000));
    tone_level.push_back(chance.uniform(0.0, 0.4));
  }
  for (std::size_t i = 0; i < n; ++i)
    for (std::size_t j = 0; j < tones.size(); ++j)
      room[i] += room_noise_rms * tone_level[j] * tones[j].next(tone_hz[j], rate);
  const double room_rms = rms(room, 0, n);
  const double room_gain = cut_rms / room_rms * std::pow(10.0, -settings.cut_over_room_db / 20.0);
  shop.samples.resize(n);
  double peak = 0;
  std::vector<double> sum(n);
  for (std::size_t i = 0; i < n; ++i) {
    sum[i] = cut[i] + chatter[i] + nuisance[i] + room_gain * room[i];
    peak = std::max(peak, std::abs(sum[i]));
  }
  const double scale = std::pow(10.0, chance.uniform(-20, -1) / 20.0) / peak;
  for (std::size_t i = 0; i < n; ++i) shop.samples[i] = static_cast<float>(sum[i] * scale);
  return shop;
}

}  // namespace hushmill::test
