#include "rig/trial.hpp"

#include <algorithm>
#include <cmath>

#include "rig/machine.hpp"

namespace hushmill::rig {
namespace {

constexpr double kInnerRateHz = 96000;
constexpr double kChatterShare = 0.2;
constexpr double kSwelling = 2.0;
constexpr double kForcedRevolutions = 30;  // after entry: forced vibration has long settled

RigTruth run(const RigSettings& settings, double seconds) {
  Machine machine(settings, kInnerRateHz);
  const auto steps = static_cast<long long>(seconds * kInnerRateHz);
  for (long long i = 0; i < steps; ++i) machine.step();
  return machine.truth();
}

}  // namespace

TrialOutcome try_cut(const RigSettings& settings, double seconds) {
  check(settings);
  TrialOutcome outcome;
  outcome.truth = run(settings, seconds);
  RigSettings smooth = settings;
  smooth.regeneration = false;
  const double revolutions = settings.entry_revolutions + kForcedRevolutions;
  const RigTruth forced = run(smooth, std::min(seconds, revolutions * 60.0 / settings.start.spindle_rpm));

  const double off = outcome.truth.chatter_rms;
  const double on = outcome.truth.synchronous_rms;
  outcome.chatter_share = on > 0 ? off * off / (on * on) : 0.0;
  outcome.swelling = forced.synchronous_rms > 0 ? std::hypot(on, off) / forced.synchronous_rms : 0.0;
  outcome.chattered =
      outcome.chatter_share > kChatterShare || (outcome.truth.teeth_leave_cut && outcome.swelling > kSwelling);
  return outcome;
}

}  // namespace hushmill::rig
