#include "app/scripted_rig.hpp"

#include <algorithm>
#include <cmath>

namespace hushmill::app {

ScriptedRig::ScriptedRig(const rig::RigSettings& settings, std::vector<RigChange> changes)
    : RigSource(rig::Rig(settings)), changes_(std::move(changes)) {
  std::stable_sort(changes_.begin(), changes_.end(), [](const auto& a, const auto& b) { return a.at_s < b.at_s; });
}

std::size_t ScriptedRig::read(std::span<float> samples) {
  const std::size_t all = samples.size();
  while (!samples.empty()) {
    std::size_t piece = samples.size();
    if (next_ < changes_.size()) {
      const auto& change = changes_[next_];
      const auto at = static_cast<std::int64_t>(std::llround(change.at_s * sample_rate_hz()));
      if (at <= sample_) {
        auto knobs = controls();
        knobs.spindle_rpm = change.spindle_rpm.value_or(knobs.spindle_rpm);
        knobs.depth_mm = change.depth_mm.value_or(knobs.depth_mm);
        knobs.radial_mm = change.radial_mm.value_or(knobs.radial_mm);
        knobs.in_cut = change.in_cut.value_or(knobs.in_cut);
        turn(knobs);
        ++next_;
        continue;
      }
      piece = std::min(piece, static_cast<std::size_t>(at - sample_));
    }
    RigSource::read(samples.first(piece));
    sample_ += static_cast<std::int64_t>(piece);
    samples = samples.subspan(piece);
  }
  return all;
}

}  // namespace hushmill::app
