#include "support/additive_shop.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "support/oscillator.hpp"

namespace hushmill::test {

namespace {
constexpr double kShopTurn = 2.0 * std::numbers::pi;

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
  const double r = std::exp(-kShopTurn * hump_hz * 0.35 / rate_hz);
  const double c = 2 * r * std::cos(kShopTurn * hump_hz / rate_hz);
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

// The lines of a healthy cut, all multiples of the rotation: one phase turns them all.
class CutLines {
 public:
  void add(int order, double amplitude, double phase_rad) {
    lines_.push_back({order, amplitude * std::cos(phase_rad), amplitude * std::sin(phase_rad)});
  }
  // Σ a·sin(order·phase + phase of the line), by powers of one phasor.
  double at(double rotation_phase_rad) const {
    const double re = std::cos(rotation_phase_rad), im = std::sin(rotation_phase_rad);
    double power_re = 1, power_im = 0, sum = 0;
    int order = 0;
    for (const Line& line : lines_) {
      for (; order < line.order; ++order) {
        const double next = power_re * re - power_im * im;
        power_im = power_re * im + power_im * re;
        power_re = next;
      }
      sum += line.cos * power_im + line.sin * power_re;
    }
    return sum;
  }

 private:
  struct Line {
    int order;
    double cos, sin;
  };
  std::vector<Line> lines_;
};

// The knob turned while cutting.
struct Ramp {
  double from_s = 1e9, seconds = 1, to = 1;
  double at(double t) const { return 1 + (to - 1) * std::clamp((t - from_s) / seconds, 0.0, 1.0); }
};

Ramp draw_ramp(const ShopSettings& settings, Chance& trouble, ShopSound& shop) {
  if (settings.nuisance != Nuisance::override_ramp) return {};
  const Ramp ramp{trouble.uniform(3.0, 4.0), trouble.uniform(0.3, 1.5), trouble.one_in(2) ? 0.9 : 1.1};
  if (trouble.one_in(2)) shop.entered_later.push_back({ramp.from_s, shop.entered_rpm * ramp.to});
  return ramp;
}

// Stretches in the material, for the kinds that are about them; none: one cut, as drawn.
std::vector<std::pair<double, double>> draw_cuts(const ShopSettings& settings, Chance& trouble, const ShopSound& shop) {
  std::vector<std::pair<double, double>> cuts;
  if (settings.nuisance == Nuisance::entry_exit) {
    for (double t = shop.cut_start_s; t < settings.duration_s - 0.5;) {
      const double to_s = t + trouble.uniform(0.4, 1.8);
      cuts.emplace_back(t, to_s);
      t = to_s + trouble.uniform(0.15, 0.9);
    }
  } else if (settings.nuisance == Nuisance::tool_change) {
    const double to_s = trouble.uniform(3.2, 3.8);
    cuts.emplace_back(shop.cut_start_s, to_s);
    cuts.emplace_back(to_s + trouble.uniform(1.5, 2.0), settings.duration_s);
  }
  return cuts;
}
}  // namespace

ShopSound make_shop_sound(const ShopSettings& settings) {
  Chance chance(settings.seed);
  const double rate = settings.sample_rate_hz;
  const auto n = static_cast<std::size_t>(settings.duration_s * rate);
  ShopSound shop;
  shop.sample_rate_hz = rate;
  shop.flutes = chance.whole(2, 6);
  shop.entered_rpm = std::round(chance.log_uniform(1500, 18000) / 10) * 10;
  const double most_error = settings.nuisance == Nuisance::wrong_speed ? 0.02 : 0.006;
  const double highest_error = settings.nuisance == Nuisance::wrong_speed ? most_error : 0.3 * most_error;
  shop.true_rpm = shop.entered_rpm * (1 + chance.uniform(-most_error, highest_error));
  if (settings.flutes > 0) shop.flutes = settings.flutes;
  // What only some kinds of trouble need comes from a generator of its own, so that the others stay as they are.
  Chance trouble(settings.seed + 77777);
  if (settings.nuisance == Nuisance::override_step) {
    constexpr double kSteps[] = {0.8, 0.9, 1.1, 1.2};
    shop.true_rpm *= kSteps[trouble.whole(0, 3)];
  }
  shop.cut_start_s = chance.uniform(1.3, 2.2);
  shop.cut_end_s = settings.duration_s - (chance.one_in(2) ? 0.0 : chance.uniform(0.5, 1.2));
  const double f_rot = shop.true_rpm / 60;
  const double f_tooth = f_rot * shop.flutes;

  // Engagement over time: ramp in, steady, ramp out; a corner doubles it for a moment.
  const double ramp_s = chance.log_uniform(0.03, 0.4);
  const double corner_s = chance.uniform(3.2, 4.5), corner_width_s = chance.uniform(0.2, 0.5);
  const double gap_s = chance.uniform(3.5, 4.5);
  const auto cuts = draw_cuts(settings, trouble, shop);
  const auto engagement = [&](double t) {
    if (!cuts.empty()) {
      double most = 0;
      for (const auto& [from_s, to_s] : cuts)
        most = std::max(most, std::clamp((t - from_s) / 0.05, 0.0, 1.0) * std::clamp((to_s - t) / 0.05, 0.0, 1.0));
      return most;
    }
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
  CutLines cut_lines;
  const double fall = chance.uniform(0.3, 1.1);
  const double runout =
      settings.nuisance == Nuisance::runout ? chance.uniform(0.5, 1.5) : chance.log_uniform(0.02, 0.5);
  for (int k = 1; k * f_rot < std::min(9000.0, 0.45 * rate) && k < 400; ++k) {
    const bool tooth = k % shop.flutes == 0;
    const double order = static_cast<double>(k) / shop.flutes;
    double a = std::pow(std::max(order, 0.5), -fall) * gain(k * f_rot) * std::exp(0.5 * chance.normal());
    if (!tooth) a *= runout * std::exp(0.7 * chance.normal());
    if (a < 1e-4) continue;
    cut_lines.add(k, a, chance.uniform(0, kShopTurn));
  }
  std::vector<double> cut(n), chatter(n), nuisance(n);
  const auto cut_noise = shop_noise(chance, n, rate);
  const double noise_share = chance.uniform(0.05, 0.5);
  const double droop =
      settings.nuisance == Nuisance::droop ? -chance.uniform(0.002, 0.008) : -chance.uniform(0.0, 0.001);
  const Ramp ramp = draw_ramp(settings, trouble, shop);
  double tooth_phase = 0, wander = 0, rotation_phase = 0;
  std::vector<double> speed_ratio(n);
  for (std::size_t i = 0; i < n; ++i) {
    const double t = static_cast<double>(i) / rate;
    wander += 0.0002 * (chance.normal() - 0.01 * wander);
    const double e = engagement(t);
    speed_ratio[i] = (1 - droop * (1 - std::min(1.0, e))) * ramp.at(t);
    tooth_phase += kShopTurn * f_tooth * speed_ratio[i] / rate;
    rotation_phase = std::fmod(rotation_phase + kShopTurn * f_rot * speed_ratio[i] / rate, kShopTurn);
    if (static_cast<double>(shop.cut_rpm.size()) <= 100 * t)
      shop.cut_rpm.push_back(e <= 0 ? 0.0F : static_cast<float>(shop.true_rpm * speed_ratio[i]));
    if (e <= 0) continue;
    cut[i] = e * (1 + 0.1 * wander) *
             (cut_lines.at(rotation_phase) + noise_share * cut_noise[i] * (1 + 0.6 * std::cos(tooth_phase)));
  }
  const auto from = static_cast<std::size_t>((shop.cut_start_s + ramp_s) * rate);
  const auto to = static_cast<std::size_t>(std::min(shop.cut_end_s - ramp_s, 3.1) * rate);
  const double cut_rms = rms(cut, from, std::max(to, from + 100));

  if (settings.nuisance == Nuisance::forced) {
    // One harmonic of the teeth meets a resonance: it rises far over its neighbours and stays in step.
    const int harmonic = trouble.whole(2, 6);
    const double begin_s = trouble.uniform(3.0, 4.0), rise_s = trouble.log_uniform(0.03, 0.5);
    const double amplitude = cut_rms * std::pow(10.0, trouble.uniform(0, 8) / 20) * std::numbers::sqrt2;
    Oscillator wave;
    for (std::size_t i = 0; i < n; ++i) {
      const double t = static_cast<double>(i) / rate;
      const double tone = wave.next(harmonic * f_tooth * speed_ratio[i], rate);
      if (t > begin_s)
        cut[i] += amplitude * std::min(1.0, engagement(t)) * (1 - std::exp((begin_s - t) / rise_s)) * tone;
    }
  }
  if (settings.nuisance == Nuisance::no_cut) {
    std::fill(cut.begin(), cut.end(), 0.0);
    shop.cut_rpm.clear();
  }

  if (settings.chatter) {
    shop.chatter = true;
    shop.period_doubling = chance.one_in(8);
    const double f_n = chance.log_uniform(std::max(300.0, 0.6 * f_tooth), 4000);
    const int order = std::max(0, static_cast<int>(f_n / f_tooth));
    const double fraction = shop.period_doubling ? 0.5 : chance.uniform(0.12, 0.88);
    const double f_c = (order + fraction) * f_tooth;
    const double growth = chance.log_uniform(8, 90);  // amplitude, 1/s
    const double start_s = chance.uniform(3.0, std::max(4.2, 0.45 * settings.duration_s));
    shop.unstable_from_s = start_s;
    const double saturated = cut_rms * std::pow(10.0, chance.uniform(-4, 14) / 20.0) * std::numbers::sqrt2;
    const double seed_level = saturated * 1e-4;
    struct Member {
      double hz, relative;
      double now_hz = 0;
      Oscillator wave{};
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
        members.push_back({hz, relative});
        members.back().wave.start(chance.uniform(0, kShopTurn));
      }
    const double shift = chance.uniform(-0.008, 0.002);
    const double stop_s =
        chance.one_in(3) ? chance.uniform(5.5, 6.8) + std::max(0.0, settings.duration_s - 8) : settings.duration_s;
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
      const bool anew = i % 16 == 0 || level == 0;
      const double side_share = settings.lone_until_grown ? depth * depth * depth : 0.35 + 0.65 * depth;
      for (auto& member : members) {
        if (!anew) {
          sum += (member.relative == 1.0 ? 1.0 : member.relative * side_share) * member.wave.next(member.now_hz, rate);
          continue;
        }
        const double bend = shop.period_doubling ? 0.0 : (shift * (1 - depth) + 2e-5 * drift) * f_c;
        const double sign = std::fmod(member.hz, f_tooth) - std::fmod(f_c, f_tooth);
        const double hz =
            member.hz * speed_ratio[i] +
            (std::abs(sign) < 1e-6 * f_tooth || std::abs(std::abs(sign) - f_tooth) < 1e-6 * f_tooth ? bend : -bend);
        const double relative = member.relative == 1.0 ? 1.0 : member.relative * side_share;
        member.now_hz = hz;
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
  if (settings.nuisance == Nuisance::no_cut) {
    constexpr Nuisance kElsewhere[] = {Nuisance::none,   Nuisance::pump,      Nuisance::beeper, Nuisance::music,
                                       Nuisance::speech, Nuisance::neighbour, Nuisance::radio,  Nuisance::fan};
    add_nuisance(kElsewhere[trouble.whole(0, 7)], trouble, loud, begin_s, rate, nuisance);
  } else {
    add_nuisance(settings.nuisance, chance, loud, begin_s, rate, nuisance);
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
  if (settings.chatter) {
    shop.chatter_track.resize(n);
    for (std::size_t i = 0; i < n; ++i) shop.chatter_track[i] = static_cast<float>(chatter[i] * scale);
  }
  return shop;
}

}  // namespace hushmill::test
