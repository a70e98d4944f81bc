#include "rig/rig.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

#include "rig/decimator.hpp"
#include "rig/machine.hpp"
#include "rig/rig_settings.hpp"
#include "rig/voice.hpp"

namespace hushmill::rig {
namespace {

constexpr double kInnerRateHz = 96000;  // at least: resolves modes of several kilohertz
constexpr double kTrialS = 0.25;        // sound from which the levels are set
constexpr double kTrialLeadS = 0.1;

int inner_factor(double sample_rate_hz) {
  return std::max(1, static_cast<int>(std::ceil(kInnerRateHz / sample_rate_hz - 1e-9)));
}

double level_db(double db) { return std::pow(10.0, db / 20.0); }

}  // namespace

/// In the order in which sound comes about.
struct Rig::Parts {
  RigSettings settings;
  int factor;
  Machine machine;
  Decimator decimator;
  Voice voice;
  Voice::Shares gains{};

  explicit Parts(const RigSettings& s)
      : settings(s),
        factor(inner_factor(s.sample_rate_hz)),
        machine(s, s.sample_rate_hz * factor),
        decimator(factor),
        voice(s) {}

  Voice::Shares next() noexcept {
    for (int i = 0; i < factor; ++i) {
      machine.step();
      const Pair tool = machine.tool_acceleration();
      const Pair part = machine.part_acceleration();
      const Pair force = machine.force_n();
      // The microphone stands to one side: it hears both directions, one of them better.
      decimator.push({static_cast<float>(0.8 * tool.x + 0.6 * tool.y), static_cast<float>(0.8 * part.x + 0.6 * part.y),
                      static_cast<float>(force.x), static_cast<float>(force.y)});
    }
    return voice.parts(decimator.filtered());
  }

  void set_levels();
};

/// Hears the same cut without regeneration for a moment: that is what healthy means, at whatever depth it starts.
void Rig::Parts::set_levels() {
  RigSettings trial = settings;
  trial.regeneration = false;
  trial.smooth_twin = false;
  trial.start.in_cut = true;
  if (!(trial.start.depth_mm > 0)) trial.start.depth_mm = 1.0;
  if (!(trial.start.radial_mm > 0)) trial.start.radial_mm = 0.5 * trial.model.cutter.diameter_mm;
  if (!(trial.start.feed_per_tooth_mm > 0)) trial.start.feed_per_tooth_mm = 0.05;
  trial.entry_revolutions = 1;
  Parts ears(trial);
  const auto samples =
      static_cast<std::size_t>(std::max(kTrialS, 8.0 * 60.0 / trial.start.spindle_rpm) * trial.sample_rate_hz);
  const auto lead =
      static_cast<std::size_t>(std::max(kTrialLeadS, 3.0 * 60.0 / trial.start.spindle_rpm) * trial.sample_rate_hz);
  for (std::size_t i = 0; i < lead; ++i) ears.next();
  std::vector<Voice::Shares> heard(samples);
  std::array<double, 4> power{};
  for (Voice::Shares& parts : heard) {
    parts = ears.next();
    for (std::size_t p = 0; p < parts.size(); ++p)
      power[p] += static_cast<double>(parts[p]) * static_cast<double>(parts[p]);
  }
  const std::array<double, 4> share_db{settings.sound.tool_db, settings.sound.part_db, settings.sound.frame_db,
                                       settings.sound.noise_db};
  for (std::size_t p = 0; p < power.size(); ++p) {
    const double rms = std::sqrt(power[p] / static_cast<double>(samples));
    gains[p] = rms > 0 ? static_cast<float>(level_db(share_db[p]) / rms) : 0.0F;
  }
  double mixed = 0;
  for (const Voice::Shares& parts : heard) {
    const auto sound = static_cast<double>(ears.voice.cut_alone(parts, gains));
    mixed += sound * sound;
  }
  const double rms = std::sqrt(mixed / static_cast<double>(samples));
  const double scale = rms > 0 ? level_db(settings.sound.healthy_dbfs) / rms : 0.0;
  for (float& gain : gains) gain *= static_cast<float>(scale);
}

Rig::Rig(const RigSettings& settings) {
  check(settings);
  parts_ = std::make_unique<Parts>(settings);
  parts_->set_levels();
}

Rig::~Rig() = default;
Rig::Rig(Rig&&) noexcept = default;
Rig& Rig::operator=(Rig&&) noexcept = default;

void Rig::process(std::span<float> sound) noexcept {
  for (float& sample : sound) {
    const Voice::Shares parts = parts_->next();
    const float heard = parts_->voice.mix(parts, parts_->gains, parts_->machine.angle_rad() / (2.0 * cutting::kPi));
    sample = std::isfinite(heard) ? std::clamp(heard, -1.0F, 1.0F) : 0.0F;
  }
}

void Rig::turn(const RigControls& controls) noexcept { parts_->machine.turn(controls); }
RigTruth Rig::truth() const noexcept { return parts_->machine.truth(); }
const RigControls& Rig::controls() const noexcept { return parts_->machine.controls(); }
double Rig::sample_rate_hz() const noexcept { return parts_->settings.sample_rate_hz; }

int Rig::latency_samples() const noexcept {
  return static_cast<int>(std::lround(parts_->decimator.delay_inner_samples() / parts_->factor));
}

}  // namespace hushmill::rig
