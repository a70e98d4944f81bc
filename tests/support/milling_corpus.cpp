#include "support/milling_corpus.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>
#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

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
    for (int j = 0; j < 6; ++j)
      x += 0.5 * level[j] * std::sin(6.283185307 * tone_hz[j] * static_cast<double>(i) / rate_hz + phase[j]);
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

// A random cutter, machine and cut. None when it is not one that a shop would try.
struct Drawn {
  rig::RigSettings rig;
  double deep_mm = 0;
  double speed_change = 1;  // of the true speed, at `turn_s`
  double entered_rpm = 0;
};

std::optional<Drawn> draw(const MillingSettings& settings, Chance& chance, Chance& trouble) {
  Drawn drawn;
  rig::RigSettings& rig = drawn.rig;
  rig.sample_rate_hz = settings.sample_rate_hz;
  rig.seed = settings.seed;
  auto& cutter = rig.model.cutter;
  cutter.flutes = settings.even_slot ? (chance.one_in(2) ? 4 : 6) : chance.whole(2, 6);
  cutter.diameter_mm = std::round(chance.log_uniform(6, 20));
  cutter.helix_deg = chance.uniform(25, 45);
  cutter.runout_um.clear();
  double runout = settings.even_slot ? chance.uniform(0, 1) : chance.log_uniform(0.5, 8);
  if (settings.nuisance == Nuisance::runout) runout = trouble.uniform(8, 25);
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
  if (settings.low_radial) {
    // Sliver cuts double their period where the mode lies a little above an odd half of the tooth frequency.
    start.radial_mm = cutter.diameter_mm * trouble.log_uniform(0.04, 0.1);
    const double waves = (trouble.whole(1, 3) + 0.5) * trouble.uniform(1.02, 1.15);
    start.spindle_rpm = std::round(60 * f / (cutter.flutes * waves));
    if (start.spindle_rpm > 24000) return std::nullopt;
  }
  // Past twelve waves per tooth the limit depends on damping that the chart does not know; keep what a shop would try.
  if (f / (start.spindle_rpm * cutter.flutes / 60) > 12) return std::nullopt;
  const cutting::ZeroOrder chart(rig.model, start.radial_mm, rig.milling, 2000);
  double limit_mm = chart.limit(start.spindle_rpm, 40).depth_mm;
  if (settings.nuisance == Nuisance::corner) {
    // A corner engages up to a quarter turn more: what is healthy along the wall must be so in the corner.
    const cutting::ZeroOrder slot(rig.model, cutter.diameter_mm, rig.milling, 2000);
    if (!settings.chatter) limit_mm = std::min(limit_mm, 0.7 * slot.limit(start.spindle_rpm, 40).depth_mm);
    const double feed_mm_s = start.feed_per_tooth_mm * cutter.flutes * start.spindle_rpm / 60;
    rig.path = {rig::Path::pocket, feed_mm_s * trouble.uniform(1.2, 2.5), feed_mm_s * trouble.uniform(0.08, 0.3)};
  }
  drawn.entered_rpm = start.spindle_rpm;
  if (settings.nuisance == Nuisance::override_step) {
    constexpr double kSteps[] = {0.8, 0.9, 1.1, 1.2};
    drawn.entered_rpm = std::round(start.spindle_rpm / kSteps[trouble.whole(0, 3)]);
  }
  if (settings.nuisance == Nuisance::override_ramp) {
    drawn.speed_change = trouble.one_in(2) ? 0.9 : 1.1;
    limit_mm = std::min(limit_mm, chart.limit(drawn.speed_change * start.spindle_rpm, 40).depth_mm);
    rig.spindle.ramp_rpm_per_s = start.spindle_rpm * 0.1 / trouble.uniform(0.3, 1.5);
  }
  if (!(limit_mm > 0.05) || limit_mm > (settings.low_radial ? 25 : 15)) return std::nullopt;
  start.depth_mm = 0.45 * limit_mm;
  drawn.deep_mm = limit_mm * (settings.chatter ? chance.log_uniform(1.5, 3.0) : 0.6);
  if (settings.low_radial) {
    // The chart knows no period doubling: its limit is only a scale here, and the machine itself decides.
    drawn.deep_mm = std::min(25.0, limit_mm * trouble.log_uniform(0.5, 2));
    start.depth_mm = 0.25 * drawn.deep_mm;
  }
  start.in_cut = false;
  rig.spindle.speed_error_percent =
      settings.nuisance == Nuisance::wrong_speed ? trouble.uniform(-2, 2) : chance.uniform(-0.8, 0.3);
  rig.smooth_twin = true;
  rig.sound.room_dbfs = -120;
  rig.sound.healthy_dbfs = -36;
  return drawn;
}

// When the knobs are turned. The same plan drives the cut and the same cut without regeneration.
struct Plan {
  struct Turn {
    double at_s;
    bool in_cut;
    double depth_mm, spindle_rpm;
  };
  std::vector<Turn> turns;
  double deeper_s = 0;
};

Plan plan_of(const MillingSettings& settings, const Drawn& drawn, Chance& chance, Chance& trouble, ShopSound& shop) {
  Plan plan;
  const double rpm = drawn.rig.start.spindle_rpm, shallow_mm = drawn.rig.start.depth_mm;
  shop.cut_start_s = chance.uniform(1.5, 2.2);
  plan.deeper_s = chance.uniform(3.3, 4.5);
  plan.turns.push_back({shop.cut_start_s, true, shallow_mm, rpm});
  if (settings.nuisance == Nuisance::entry_exit) {
    for (double t = shop.cut_start_s; t < settings.duration_s - 0.4;) {
      t += trouble.uniform(0.4, 1.8);
      plan.turns.push_back({t, false, shallow_mm, rpm});
      t += trouble.uniform(0.15, 0.9);
      plan.turns.push_back({t, true, drawn.deep_mm, rpm});
    }
    return plan;
  }
  if (settings.nuisance == Nuisance::tool_change) {
    plan.turns.push_back({plan.deeper_s - 0.6, false, shallow_mm, rpm});
    plan.turns.push_back({plan.deeper_s - 0.3, false, shallow_mm, 200});
    plan.turns.push_back({plan.deeper_s + 0.6, false, shallow_mm, rpm});
    plan.turns.push_back({plan.deeper_s + 1.2 + rpm / drawn.rig.spindle.ramp_rpm_per_s, true, shallow_mm, rpm});
    return plan;
  }
  if (settings.nuisance == Nuisance::override_ramp) {
    plan.turns.push_back({plan.deeper_s, true, shallow_mm, rpm * drawn.speed_change});
    if (trouble.one_in(2)) shop.entered_later.push_back({plan.deeper_s, drawn.entered_rpm * drawn.speed_change});
    return plan;
  }
  plan.turns.push_back({plan.deeper_s, true, drawn.deep_mm, rpm});
  return plan;
}

// Runs the plan; `each(t, machine)` after every millisecond may end it by false.
template <typename Each>
bool run(rig::Rig& machine, const Plan& plan, double rate_hz, std::vector<float>& samples, const Each& each) {
  const auto step = static_cast<std::size_t>(rate_hz / 1000);
  std::size_t next = 0;
  for (std::size_t i = 0; i < samples.size(); i += step) {
    const double t = static_cast<double>(i) / rate_hz;
    for (; next < plan.turns.size() && t >= plan.turns[next].at_s; ++next) {
      auto knobs = machine.controls();
      knobs.in_cut = plan.turns[next].in_cut;
      knobs.depth_mm = plan.turns[next].depth_mm;
      knobs.spindle_rpm = plan.turns[next].spindle_rpm;
      machine.turn(knobs);
    }
    machine.process(std::span<float>(samples).subspan(i, std::min(step, samples.size() - i)));
    if (!each(t, machine)) return false;
  }
  return true;
}

// A cut that the twin shows to be within half of the mark is neither healthy nor chatter.
constexpr double kHealthyShare = 0.1;

bool healthy(const rig::RigTruth& truth) {
  const double beyond = truth.chatter_rms * truth.chatter_rms - truth.smooth_chatter_rms * truth.smooth_chatter_rms;
  return !truth.chatters && (!truth.steady || beyond < kHealthyShare * truth.synchronous_rms * truth.synchronous_rms);
}

// One attempt: none when the set-up does not do what was asked for (the chart is an estimate).
std::optional<ShopSound> attempt(const MillingSettings& settings, Chance& chance, Chance& trouble) {
  const auto drawn = draw(settings, chance, trouble);
  if (!drawn) return std::nullopt;
  const rig::RigSettings& rig = drawn->rig;
  ShopSound shop;
  shop.sample_rate_hz = settings.sample_rate_hz;
  shop.entered_rpm = drawn->entered_rpm;
  shop.true_rpm = rig.start.spindle_rpm * (1 + rig.spindle.speed_error_percent / 100);
  shop.flutes = rig.model.cutter.flutes;
  shop.chatter = settings.chatter;
  shop.cut_end_s = shop.chatter_end_s = settings.duration_s;
  shop.onset_s = -1;
  const Plan plan = plan_of(settings, *drawn, chance, trouble, shop);
  shop.unstable_from_s = plan.deeper_s;
  const auto n = static_cast<std::size_t>(settings.duration_s * settings.sample_rate_hz);
  shop.samples.resize(n);
  rig::Rig machine(rig);
  const bool as_asked = run(machine, plan, settings.sample_rate_hz, shop.samples, [&](double t, const rig::Rig& now) {
    const auto truth = now.truth();
    if (shop.onset_s < 0 && truth.depth_mm > 0 && truth.chatters) shop.onset_s = t;
    if (truth.depth_mm > 0) shop.true_rpm = truth.spindle_rpm;
    if (static_cast<double>(shop.cut_rpm.size()) <= 100 * t)
      shop.cut_rpm.push_back(truth.depth_mm > 0 ? static_cast<float>(truth.spindle_rpm) : 0.0F);
    if (!settings.chatter) return truth.depth_mm <= 0 || healthy(truth);
    if (shop.onset_s > 0) return shop.onset_s > plan.deeper_s;
    return t < std::min(plan.deeper_s + 2.5, settings.duration_s - 0.8);
  });
  if (!as_asked) return std::nullopt;
  if (settings.chatter) {
    rig::RigSettings without = rig;
    without.regeneration = false;
    without.smooth_twin = false;
    rig::Rig smooth(without);
    shop.chatter_track.resize(n);
    run(smooth, plan, settings.sample_rate_hz, shop.chatter_track, [](double, const rig::Rig&) { return true; });
    for (std::size_t i = 0; i < n; ++i) shop.chatter_track[i] = shop.samples[i] - shop.chatter_track[i];
  }
  // What else sounds: levels count from the cut before its deeper pass.
  const auto at = [&](double t) { return std::min(n, static_cast<std::size_t>(t * settings.sample_rate_hz)); };
  const double level_from_s = shop.cut_start_s + (settings.nuisance == Nuisance::entry_exit ? 0.1 : 0.4);
  const double level_to_s = settings.nuisance == Nuisance::entry_exit    ? shop.cut_start_s + 0.4
                            : settings.nuisance == Nuisance::tool_change ? plan.deeper_s - 0.7
                                                                         : plan.deeper_s;
  const double cut_rms = std::sqrt(power_of(shop.samples, at(level_from_s), at(level_to_s)));
  if (is_sound(settings.nuisance)) {
    std::vector<double> sound(n);
    const double level = cut_rms * std::pow(10.0, trouble.uniform(-8, 6) / 20) * std::numbers::sqrt2;
    add_nuisance(settings.nuisance, trouble, level, trouble.uniform(2.8, 4.5), settings.sample_rate_hz, sound);
    for (std::size_t i = 0; i < n; ++i) shop.samples[i] += static_cast<float>(sound[i]);
  }
  const auto room = room_noise(chance, n, settings.sample_rate_hz);
  const float room_gain = static_cast<float>(cut_rms * std::pow(10.0, -settings.cut_over_room_db / 20));
  for (std::size_t i = 0; i < n; ++i) shop.samples[i] = std::clamp(shop.samples[i] + room_gain * room[i], -1.0F, 1.0F);
  return shop;
}
}  // namespace

ShopSound make_milling_sound(const MillingSettings& settings) {
  for (std::uint64_t number = 0; number < 400; ++number) {
    Chance chance(settings.seed * 131 + number * 7919 + 17);
    Chance trouble(settings.seed * 131 + number * 7919 + 77777);
    if (auto shop = attempt(settings, chance, trouble)) return std::move(*shop);
  }
  throw std::runtime_error("no set-up of 400 does what seed " + std::to_string(settings.seed) + " asks for");
}

}  // namespace hushmill::test
