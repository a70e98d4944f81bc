#include "listen/gain_watch.hpp"

#include <algorithm>
#include <cmath>

#include "signal/decibel.hpp"

namespace hushmill::listen {

namespace {
constexpr int kFramesPerTenth = 5;
constexpr double kLoudDb = 10;         // over the floor
constexpr double kSteadyDb = 6;        // the floor wanders by no more
constexpr int kSteadyTenths = 4;
constexpr int kLeastLoudTenths = 2;
constexpr double kLoweredDb = 4;
constexpr double kRiseDb = 5;
constexpr double kRiseSpreadDb = 3;
constexpr int kLongestAfter = 80;

constexpr double kOnsetDb = 9;
constexpr double kFadedDb = 10;
constexpr double kFadedEachDb = 7;
constexpr int kFadeFrom = 4, kFadeTo = 40;
constexpr double kSteepestDb = 4.5;    // a tenth: more is a sound that ends

constexpr double kNearSilenceDb = -80;
constexpr double kCollapseDb = 25;
constexpr int kLeastTimes = 2;
}  // namespace

void GainWatch::process(const InputFrame& frame) noexcept {
  sum_[0] += frame.power;
  sum_[1] += frame.bass_power;
  sum_[2] += frame.step_power;
  if (++frames_ < kFramesPerTenth) return;
  frames_ = 0;
  Levels now{};
  for (std::size_t b = 0; b < kBands; ++b) {
    now[b] = std::max(-120.0, signal::power_db(2 * sum_[b] / kFramesPerTenth));
    sum_[b] = 0;
  }
  judge_tenth(now, frame.end_s);
}

void GainWatch::judge_tenth(const Levels& now, double end_s) noexcept {
  ++tenths_;
  if (tenths_ > 1) {
    follow_floor(now, end_s);
    follow_fading(now, end_s);
    follow_collapse(now, end_s);
  }
  std::rotate(past_.begin(), past_.begin() + 1, past_.end());
  past_.back() = now;
}

void GainWatch::follow_floor(const Levels& now, double end_s) noexcept {
  if (loud_) {
    ++loud_tenths_;
    if (now[0] > before_[0] + kSteadyDb) return;
    loud_ = false;
    after_ = loud_tenths_ >= kLeastLoudTenths;
    after_tenths_ = 0;
    steady_ = 0;
    floor_ = now;
    return;
  }
  if (after_) {
    // The first tenth still holds the end of the loud stretch. A gain that was turned down while it was loud makes the
    // end of it look like a step down; whenever a lower floor comes, the rise is counted from there.
    ++after_tenths_;
    if (after_tenths_ == 1 || (after_tenths_ <= 3 && now[0] < lowest_[0]) || now[0] < lowest_[0] - kLoweredDb) {
      after_tenths_ = std::min(after_tenths_, 2);
      lowest_ = now;
      lowest_s_ = end_s;
    }
    double least = 1e9, most = -1e9;
    bool lowered = true;
    for (std::size_t b = 0; b < kBands; ++b) {
      // Two tenths, so that a knock is no rise.
      const double rise = std::min(now[b], past_.back()[b]) - lowest_[b];
      least = std::min(least, rise);
      most = std::max(most, rise);
      lowered = lowered && lowest_[b] < before_[b] - kLoweredDb;
    }
    const bool back = now[0] < before_[0] + kSteadyDb;
    const bool slowly = now[0] - past_.front()[0] < kLoudDb;
    if (after_tenths_ > 6 && lowered && back && slowly && least >= kRiseDb && most - least <= kRiseSpreadDb) {
      if (!gain_) gain_ = MicrophoneFinding{Warning::automatic_gain, lowest_s_, end_s, 0};
      gain_->until_s = end_s;
      gain_->value = std::max(gain_->value, now[0] - lowest_[0]);
    }
    if (after_tenths_ > kLongestAfter) after_ = false;
  }
  if (steady_ >= kSteadyTenths && now[0] > floor_[0] + kLoudDb) {
    before_ = floor_;
    loud_ = true;
    loud_tenths_ = 1;
    after_ = false;
    return;
  }
  if (steady_ == 0 || std::abs(now[0] - floor_[0]) > kSteadyDb) {
    steady_ = 1;
    floor_ = now;
    return;
  }
  ++steady_;
  for (std::size_t b = 0; b < kBands; ++b) floor_[b] += 0.2 * (now[b] - floor_[b]);
}

void GainWatch::follow_fading(const Levels& now, double end_s) noexcept {
  double lowest = past_.back()[0];
  for (const Levels& levels : past_) lowest = std::min(lowest, levels[0] == 0 ? lowest : levels[0]);
  if (now[0] > lowest + kOnsetDb || tenths_ == 2) {
    const bool goes_on = fading_armed_ && since_onset_ < 3;
    if (!goes_on) {
      since_onset_ = 0;
      top_ = now;
      onset_s_ = end_s;
    }
    fading_armed_ = true;
    steepest_ = 0;
  }
  if (!fading_armed_) return;
  ++since_onset_;
  if (since_onset_ <= 3)
    for (std::size_t b = 0; b < kBands; ++b) top_[b] = std::max(top_[b], now[b]);
  if (since_onset_ > 1) steepest_ = std::max(steepest_, past_.back()[0] - now[0]);
  const bool faded = top_[0] - now[0] >= kFadedDb && top_[1] - now[1] >= kFadedEachDb && top_[2] - now[2] >= kFadedEachDb;
  if (faded || since_onset_ > kFadeTo) {
    if (faded && since_onset_ >= kFadeFrom && steepest_ <= kSteepestDb) note_suppression(onset_s_, end_s);
    fading_armed_ = false;
  }
}

void GainWatch::follow_collapse(const Levels& now, double end_s) noexcept {
  if (!collapsed_ && now[0] < kNearSilenceDb) {
    double highest = -200;
    for (const Levels& levels : past_) highest = std::max(highest, levels[0] == 0 ? -200 : levels[0]);
    if (highest >= now[0] + kCollapseDb) {
      collapsed_ = true;
      collapsed_s_ = end_s;
    }
  } else if (collapsed_ && now[0] > kNearSilenceDb + kCollapseDb) {
    collapsed_ = false;
    note_suppression(collapsed_s_, end_s);
  }
}

void GainWatch::note_suppression(double since_s, double until_s) noexcept {
  if (times_++ == 0) first_s_ = since_s;
  last_s_ = until_s;
}

std::optional<MicrophoneFinding> GainWatch::noise_suppression() const noexcept {
  if (times_ < kLeastTimes) return std::nullopt;
  return MicrophoneFinding{Warning::noise_suppression, first_s_, last_s_, static_cast<double>(times_)};
}

}  // namespace hushmill::listen
