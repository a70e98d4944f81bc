#include "listen/tone_trial.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "signal/decibel.hpp"
#include "signal/fft.hpp"

namespace hushmill::listen {

namespace {
constexpr double kTrialFrameS = 0.17;
constexpr double kTrialFromHz = 150, kToHz = 6000;
constexpr double kShare = 0.5;
constexpr double kOverRoom = 10;  // power
constexpr double kSameHz = 0.01;  // of the frequency
constexpr int kFirstSteps = 4;    // after one that may hold the beginning
constexpr double kLeastS = 0.5;
}  // namespace

ToneTrial::ToneTrial(double sample_rate_hz)
    : spectrum_(signal::fft_size_at_least(static_cast<std::size_t>(kTrialFrameS * sample_rate_hz)), sample_rate_hz) {}

void ToneTrial::process(std::span<const float> newest, double end_s, double room_power) noexcept {
  spectrum_.process(newest);
  const auto power = spectrum_.power();
  const double bin_hz = spectrum_.bin_hz();
  const auto from = static_cast<std::size_t>(kTrialFromHz / bin_hz);
  const auto to = std::min(power.size() - 3, static_cast<std::size_t>(kToHz / bin_hz));
  std::size_t best = from;
  double all = 0;
  for (std::size_t k = 2; k < power.size(); ++k) all += static_cast<double>(power[k]);
  for (std::size_t k = from; k < to; ++k)
    if (power[k] > power[best]) best = k;
  double line = 0;
  for (std::size_t k = best - 2; k <= best + 2; ++k) line += static_cast<double>(power[k]);
  const double enbw = spectrum_.noise_bandwidth_bins();
  const bool is_tone = line > kShare * all && line / enbw > kOverRoom * room_power;
  // Parabola through the decibels of three bins of a Hann peak: right to a few hundredths of a bin.
  const double a = signal::power_db(static_cast<double>(power[best - 1]));
  const double b = signal::power_db(static_cast<double>(power[best]));
  const double c = signal::power_db(static_cast<double>(power[best + 1]));
  const double bend = a - 2 * b + c;
  const double hz = bin_hz * (static_cast<double>(best) + (bend < 0 ? 0.5 * (a - c) / bend : 0.0));

  if (now_ && (!is_tone || std::abs(hz - now_->hz) > kSameHz * now_->hz)) end_tone();
  if (!is_tone) return;
  const double db = signal::power_db(line / enbw);
  if (!now_) {
    now_ = HeardTone{.hz = hz, .start_s = end_s, .goes_on = true};
    steps_ = 0;
    first_db_ = -200;
  }
  ++steps_;
  if (steps_ > 1 && steps_ <= 1 + kFirstSteps) {
    first_db_ = std::max(first_db_, db);
    now_->hz = hz;
  }
  now_->lasted_s = end_s - now_->start_s;
  now_->dbfs = first_db_;
  // The last two steps may hold the tone's end.
  if (steps_ > 3 + kFirstSteps) now_->change_db = before_last_db_ - first_db_;
  before_last_db_ = std::exchange(last_db_, db);
  if (now_->lasted_s >= kLeastS && (!longest_ || now_->lasted_s > longest_->lasted_s)) longest_ = now_;
}

void ToneTrial::end_tone() noexcept {
  if (longest_ && longest_->start_s == now_->start_s) longest_->goes_on = false;
  now_.reset();
}

}  // namespace hushmill::listen
