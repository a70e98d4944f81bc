#include "rig/trial.hpp"

#include <algorithm>
#include <cmath>
#include <complex>
#include <vector>

#include "rig/machine.hpp"

namespace hushmill::rig {
namespace {

constexpr double kInnerRateHz = 96000;
using cutting::kTurn;
constexpr double kChatterShare = 0.2;
constexpr double kSwelling = 2.0;
constexpr double kForcedRevolutions = 30;  // after entry: forced vibration has long settled
constexpr double kTopHz = 8000;            // no mode that chatters is higher
constexpr int kMostOrders = 400;           // for the slowest spindles

struct Moment {
  double angle_rad;
  Pair vibration_m;
};

struct Run {
  RigTruth truth;
  std::vector<Moment> last_turn;
};

Run run(const RigSettings& settings, double seconds) {
  Machine machine(settings, kInnerRateHz);
  const auto steps = static_cast<long long>(seconds * kInnerRateHz);
  for (long long i = 0; i < steps; ++i) machine.step();
  Run done{.truth = machine.truth(), .last_turn = {}};
  const double until = machine.angle_rad() + kTurn;
  while (machine.angle_rad() < until) {
    machine.step();
    done.last_turn.push_back({machine.angle_rad(), machine.vibration_m()});
  }
  return done;
}

/// Energy of one revolution on the multiples of the teeth, and on those of the rotation between them.
struct OrderEnergy {
  double teeth = 0, between = 0;
};

OrderEnergy order_energy(const Run& run, int flutes) {
  OrderEnergy energy;
  const int highest = std::min(static_cast<int>(kTopHz / (run.truth.spindle_rpm / 60.0)), kMostOrders);
  for (int order = 1; order <= highest; ++order) {
    std::complex<double> x;
    std::complex<double> y;
    for (const Moment& moment : run.last_turn) {
      const std::complex<double> turn = std::polar(1.0, -order * moment.angle_rad);
      x += turn * moment.vibration_m.x;
      y += turn * moment.vibration_m.y;
    }
    (order % flutes == 0 ? energy.teeth : energy.between) += std::norm(x) + std::norm(y);
  }
  return energy;
}

double share_off_rotation(const RigTruth& truth) {
  const double on = truth.synchronous_rms;
  return on > 0 ? truth.chatter_rms * truth.chatter_rms / (on * on) : 0.0;
}

/// The same cut with flutes that run true. A stable cut then has nothing between the multiples of the teeth, so what
/// stands there or off the rotation makes itself. (Runout makes lines on every multiple of the rotation, and near its
/// limit a stable cut can raise one of them, next to a mode, as far as chatter would.)
bool chatters_with_true_flutes(RigSettings settings, double seconds) {
  settings.model.cutter.runout_um.clear();
  const Run real = run(settings, seconds);
  if (share_off_rotation(real.truth) > kChatterShare) return true;
  const OrderEnergy energy = order_energy(real, settings.model.cutter.flutes);
  return energy.between > kChatterShare * energy.teeth;
}

}  // namespace

TrialOutcome try_cut(const RigSettings& settings, double seconds) {
  check(settings);
  const Run real = run(settings, seconds);
  RigSettings smooth = settings;
  smooth.regeneration = false;
  const double revolutions = settings.entry_revolutions + kForcedRevolutions;
  const Run forced = run(smooth, std::min(seconds, revolutions * 60.0 / settings.start.spindle_rpm));

  TrialOutcome outcome;
  outcome.truth = real.truth;
  outcome.chatter_share = share_off_rotation(real.truth);
  const double whole = std::hypot(real.truth.synchronous_rms, real.truth.chatter_rms);
  outcome.swelling = forced.truth.synchronous_rms > 0 ? whole / forced.truth.synchronous_rms : 0.0;
  const bool equal_pitch = cutting::pattern_teeth(settings.model.cutter) == 1;
  if (equal_pitch) {
    const OrderEnergy with = order_energy(real, settings.model.cutter.flutes);
    const OrderEnergy without = order_energy(forced, settings.model.cutter.flutes);
    if (with.teeth > 0) outcome.between_share = std::max(with.between - without.between, 0.0) / with.teeth;
  }
  outcome.chattered = outcome.chatter_share > kChatterShare;
  const bool on_rotation =
      outcome.between_share > kChatterShare || (outcome.truth.teeth_leave_cut && outcome.swelling > kSwelling);
  if (!outcome.chattered && on_rotation)
    outcome.chattered = !equal_pitch || chatters_with_true_flutes(settings, seconds);
  return outcome;
}

}  // namespace hushmill::rig
