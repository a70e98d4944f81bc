#include "lessons/cut_bench.hpp"

#include <algorithm>
#include <cmath>

#include "lessons/lesson.hpp"

namespace hushmill::lessons {
namespace {

constexpr double kRoomS = 1.3;  // the engine wants a second of it
constexpr double kSettleS = 1.0;

rig::RigSettings out_of_cut(rig::RigSettings settings) {
  settings.sample_rate_hz = kSampleRateHz;
  settings.start.in_cut = false;
  return settings;
}

}  // namespace

CutBench::CutBench(rig::RigSettings settings)
    : settings_(out_of_cut(std::move(settings))),
      wanted_(settings_.start),
      rig_(settings_),
      ear_(wanted_.spindle_rpm, settings_.model.cutter.flutes, cutting::pattern_teeth(settings_.model.cutter)) {
  wanted_.in_cut = true;
  begin_pass(0);
}

double CutBench::t_s() const noexcept { return static_cast<double>(samples_) / kSampleRateHz; }

void CutBench::process(std::span<float> sound) {
  while (!sound.empty()) {
    std::size_t now = sound.size();
    if (samples_ < enter_at_) now = std::min<std::size_t>(now, enter_at_ - samples_);
    rig_.process(sound.first(now));
    ear_.process(sound.first(now));
    samples_ += now;
    sound = sound.subspan(now);
    if (samples_ == enter_at_) rig_.turn(wanted_);
  }
}

void CutBench::turn(double spindle_rpm, double depth_mm) {
  if (spindle_rpm == wanted_.spindle_rpm && depth_mm == wanted_.depth_mm) return;
  wanted_.spindle_rpm = spindle_rpm;
  wanted_.depth_mm = depth_mm;
  begin_pass(std::abs(spindle_rpm - rig_.truth().spindle_rpm) / settings_.spindle.ramp_rpm_per_s);
}

void CutBench::cut_afresh() { begin_pass(0); }

void CutBench::begin_pass(double spindle_settles_s) {
  rig::RigControls now = wanted_;
  now.in_cut = false;
  rig_.turn(now);
  const double out_s = kRoomS + spindle_settles_s;
  enter_at_ = samples_ + static_cast<std::uint64_t>(out_s * kSampleRateHz);
  ear_.set_spindle_rpm(wanted_.spindle_rpm);
  ear_.begin(out_s + kSettleS);
}

}  // namespace hushmill::lessons
