#include "listen/equal_runs.hpp"

#include <algorithm>
#include <cmath>

#include "signal/decibel.hpp"

namespace hushmill::listen {

namespace {
constexpr std::size_t kLeastGap = 24;
constexpr double kLongestGapS = 0.25;      // longer silence is another fault
constexpr int kLeastGaps = 2;
constexpr double kMostOfPeak = 0.3;        // a filled gap does not stand at the top of the sound

constexpr float kLeastTop = 0.02F;         // below, 16 bits are too coarse to tell a top from a flat one
constexpr int kLeastFlatFrames = 5;

constexpr float kSteep = 1e-3F;            // 32 steps of 16 bits: two neighbours seldom meet by chance
constexpr double kLeastHeld = 400;
constexpr double kLeastHeldShare = 0.04;   // chance makes 1 % or less of steep neighbours equal
constexpr double kLeastRegular = 0.6;
constexpr double kLeastSteepShare = 0.3;
}  // namespace

void EqualRuns::end_run(const InputFrame& frame, std::size_t at, float after) noexcept {
  const float value = frame.past_and_frame[at - 1];
  const float size = std::abs(value);
  const double at_s = frame.end_s - static_cast<double>(frame.past_and_frame.size() - at) / frame.rate_hz;
  const float in = std::abs(before_run_ - value), out = std::abs(after - value);
  if (run_ >= kLeastGap) {
    const bool amid_sound = std::max(power_before_, frame.power) >= kPowerOfMinus70Dbfs && power_before_ > 0;
    if (amid_sound && static_cast<double>(run_) < kLongestGapS * frame.rate_hz && static_cast<double>(size) <= kMostOfPeak * static_cast<double>(frame.peak)) {
      last_gap_s_ = at_s;
      if (gaps_++ == 0) first_gap_s_ = at_s;
    }
  } else if (size >= 0.98F * frame.peak) {
    const float least = std::max(1e-4F, 0.003F * size);
    if (run_ >= 2 && size >= kLeastTop && in >= least && out >= least && std::abs(before_run_) < size && std::abs(after) < size) {
      if (!flat_here_) ++flat_frames_;
      if (flat_frames_ == 1) first_flat_s_ = at_s;
      flat_here_ = true;
      last_flat_s_ = at_s;
      flat_level_ = std::max(flat_level_, size);
    }
  } else if (run_ <= 4 && size < 0.9F * frame.peak && in >= kSteep && out >= kSteep) {
    held_ += 1;
    const std::uint64_t here = sample_ - (frame.past_and_frame.size() - at);
    const std::uint64_t distance = here - last_held_;
    distances_ += 1;
    if (distance <= last_distance_ + 1 && last_distance_ <= distance + 1) regular_ += 1;
    last_held_ = here;
    last_distance_ = distance;
  }
}

void EqualRuns::process(const InputFrame& frame) noexcept {
  const auto x = frame.past_and_frame;
  sample_ += x.size() - frame.past;
  flat_here_ = false;
  now_s_ = frame.end_s;
  // Sound with no two equal neighbours, the usual case, is left at this.
  std::size_t steep = 0, equal = 0;
  for (std::size_t i = frame.past; i < x.size(); ++i) {
    const float step = x[i] - x[i - 1];
    steep += static_cast<std::size_t>(std::abs(step) >= kSteep);
    equal += static_cast<std::size_t>(step == 0.0F);
  }
  const double held_before = held_;
  const double regular_before = regular_;
  const double distances_before = distances_;
  for (std::size_t i = frame.past; i < x.size() && (equal > 0 || run_ > 0); ++i) {
    const float step = x[i] - x[i - 1];
    if (step == 0.0F) {
      if (run_ == 0) before_run_ = x[i - std::min<std::size_t>(i, 2)];
      ++run_;
    } else if (run_ > 0) {
      end_run(frame, i, x[i]);
      run_ = 0;
    }
  }
  power_before_ = frame.power;
  if (static_cast<double>(steep) < kLeastSteepShare * static_cast<double>(x.size() - frame.past)) {
    held_ = held_before;
    regular_ = regular_before;
    distances_ = distances_before;
    held_since_s_ = steep_ > 0 ? held_since_s_ : frame.end_s;
    return;
  }
  steep_ += static_cast<double>(steep);
}

std::optional<MicrophoneFinding> EqualRuns::filled_gaps() const noexcept {
  if (gaps_ < kLeastGaps) return std::nullopt;
  return MicrophoneFinding{Warning::dropped_samples, first_gap_s_, last_gap_s_, static_cast<double>(gaps_)};
}

std::optional<MicrophoneFinding> EqualRuns::flat_tops() const noexcept {
  if (flat_frames_ < kLeastFlatFrames) return std::nullopt;
  return MicrophoneFinding{Warning::clipped, first_flat_s_, last_flat_s_, signal::amplitude_db(static_cast<double>(flat_level_))};
}

std::optional<MicrophoneFinding> EqualRuns::repeated_samples() const noexcept {
  if (held_ < kLeastHeld || held_ < kLeastHeldShare * steep_ || regular_ < kLeastRegular * distances_) return std::nullopt;
  return MicrophoneFinding{Warning::rate_mismatch, held_since_s_, now_s_, static_cast<double>(last_distance_)};
}

}  // namespace hushmill::listen
