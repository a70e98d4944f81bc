#include "support/milling_corpus.hpp"

#include <algorithm>
#include <cmath>

#include "cutting/zero_order.hpp"
#include "rig/rig.hpp"
#include "rig/rig_settings.hpp"

namespace hushmill::test {

namespace {
cutting::Mode random_mode(Chance& chance, double hz, double stiffness) {
  return {hz, chance.log_uniform(0.01, 0.05), stiffness};
}

// Pink-like noise with hum and fan tones, as a room would have.
std::vector<float> room_noise(Chance& chance, std::size_t n, double rate_hz) {
  std::vector<float> out(n);
  double slow = 0, mid = 0;
  const double hiss = chance.uniform(0.05, 0.5);
  double tone_hz[6], level[6], phase[6];
  for (int i = 0; i < 6; ++i) {
    tone_hz[i] = i < 2 ? 100.0 * (i + 1) : chance.log_uniform(120, 4000);
    level[i] = chance.uniform(0, 0.8);
    phase[i] = chance.uniform(0, 6.28);
  }
  double power = 0;
  for (std::size_t i = 0; i < n; ++i) {
    const double w = chance.normal();
    slow += 0.004 * (w - slow);
    mid += 0.06 * (w - mid);
    double x = 12 * slow + 2 * mid + hiss * w;
    for (int j = 0; j < 6; ++j) x += 0.5 * level[j] * std::sin(6.283185307 * tone_hz[j] * static_cast<double>(i) / rate_hz + phase[j]);
    out[i] = static_cast<float>(x);
    power += x * x;
  }
  const double scale = 1.0 / std::sqrt(power / static_cast<double>(n));
  for (float& x : out) x *= static_cast<float>(scale);
  return out;
}

double power_of(const std::vector<float>& x, std::size_t from, std::size_t to) {
  double sum = 0;
  for (std::size_t i = from; i < to; ++i) sum += static_cast<double>(x[i]) * static_cast<double>(x[i]);
  return sum / static_cast<double>(std::max<std::size_t>(1, to - from));
}
}  // namespace

ShopSound make_milling_sound(const MillingSettings& settings) {
  ShopSound shop;
  for (std::uint64_t attempt = 0;; ++attempt) {
    Chance chance(settings.seed * 131 + attempt * 7919 + 17);
    rig::RigSettings rig;
    rig.sample_rate_hz = settings.sample_rate_hz;
    rig.seed = settings.seed;
    auto& cutter = rig.model.cutter;
    cutter.flutes = settings.even_slot ? (chance.one_in(2) ? 4 : 6) : chance.whole(2, 6);
    cutter.diameter_mm = std::round(chance.log_uniform(6, 20));
    cutter.helix_deg = chance.uniform(25, 45);
    cutter.runout_um.clear();
    const double runout = settings.even_slot ? chance.uniform(0, 1) : chance.log_uniform(0.5, 8);
    for (int j = 0; j < cutter.flutes; ++j) cutter.runout_um.push_back(runout * chance.normal());
    const double f = chance.log_uniform(300, 4000);
    const double k = chance.log_uniform(4e6, 4e7);
    rig.model.structure = {};
    rig.model.structure.tool_x = {random_mode(chance, f, k)};
    rig.model.structure.tool_y = {random_mode(chance, f * (1 + 0.06 * chance.normal()), k * chance.uniform(0.7, 1.4))};
    if (chance.one_in(3)) {
      rig.model.structure.tool_x.push_back(random_mode(chance, f * chance.uniform(1.6, 3), 3 * k));
      rig.model.structure.part_y = {random_mode(chance, f * chance.uniform(0.4, 0.8), 4 * k)};
    }
    rig.milling = chance.one_in(3) ? cutting::Milling::conventional : cutting::Milling::climb;
    auto& start = rig.start;
    start.radial_mm = settings.even_slot ? cutter.diameter_mm : cutter.diameter_mm * chance.log_uniform(0.08, 1);
    start.spindle_rpm = std::round(chance.log_uniform(1500, 18000));
    start.feed_per_tooth_mm = chance.uniform(0.03, 0.12);
    // Past ten waves per tooth the limit depends on damping that the chart does not know; keep what a shop would try.
    if (f / (start.spindle_rpm * cutter.flutes / 60) > 12) continue;
    const cutting::ZeroOrder chart(rig.model, start.radial_mm, rig.milling, 2000);
    const double limit_mm = chart.limit(start.spindle_rpm, 40).depth_mm;
    if (!(limit_mm > 0.05) || limit_mm > 15) continue;
    start.depth_mm = 0.45 * limit_mm;
    const double deep_mm = limit_mm * (settings.chatter ? chance.log_uniform(1.5, 3.0) : 0.6);
    start.in_cut = false;
    rig.spindle.speed_error_percent = chance.uniform(-0.8, 0.3);
    rig.sound.room_dbfs = -120;
    rig.sound.healthy_dbfs = -36;

    shop = {};
    shop.sample_rate_hz = settings.sample_rate_hz;
    shop.entered_rpm = start.spindle_rpm;
    shop.true_rpm = start.spindle_rpm * (1 + rig.spindle.speed_error_percent / 100);
    shop.flutes = cutter.flutes;
    shop.chatter = settings.chatter;
    shop.cut_start_s = chance.uniform(1.5, 2.2);
    shop.cut_end_s = settings.duration_s;
    shop.onset_s = -1;
    const double deeper_s = chance.uniform(3.3, 4.5);
    rig::Rig machine(rig);
    const auto n = static_cast<std::size_t>(settings.duration_s * settings.sample_rate_hz);
    shop.samples.resize(n);
    constexpr std::size_t kStep = 48;
    bool entered = false, deeper = false;
    for (std::size_t i = 0; i < n; i += kStep) {
      const double t = static_cast<double>(i) / settings.sample_rate_hz;
      auto knobs = machine.controls();
      if (!entered && t >= shop.cut_start_s) {
        knobs.in_cut = true;
        machine.turn(knobs);
        entered = true;
      }
      if (!deeper && t >= deeper_s) {
        knobs.depth_mm = deep_mm;
        machine.turn(knobs);
        deeper = true;
      }
      machine.process(std::span<float>(shop.samples).subspan(i, std::min(kStep, n - i)));
      const auto truth = machine.truth();
      if (shop.onset_s < 0 && truth.steady && truth.depth_mm > 0 && truth.chatter_rms > std::sqrt(0.2) * truth.synchronous_rms)
        shop.onset_s = t;
      shop.true_rpm = truth.spindle_rpm;
    }
    // A set-up that does not do what was asked for (the chart is an estimate) is drawn anew; so is one that cannot settle.
    if (settings.chatter != (shop.onset_s > 0) || (settings.chatter && shop.onset_s < shop.cut_start_s + 0.5)) {
      if (attempt < 60) continue;
    }
    const auto room = room_noise(chance, n, settings.sample_rate_hz);
    const auto from = static_cast<std::size_t>((shop.cut_start_s + 0.4) * settings.sample_rate_hz);
    const auto to = static_cast<std::size_t>(deeper_s * settings.sample_rate_hz);
    const double cut_rms = std::sqrt(power_of(shop.samples, from, to));
    const float room_gain = static_cast<float>(cut_rms * std::pow(10.0, -settings.cut_over_room_db / 20));
    for (std::size_t i = 0; i < n; ++i) shop.samples[i] = std::clamp(shop.samples[i] + room_gain * room[i], -1.0F, 1.0F);
    return shop;
  }
}

}  // namespace hushmill::test
