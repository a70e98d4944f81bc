#include "listen/hum_watch.hpp"

#include <algorithm>
#include <cmath>

#include "signal/decibel.hpp"
#include "signal/fft.hpp"

namespace hushmill::listen {

namespace {
constexpr double kHumClearRatio = 10;   // a line over the median round it
constexpr double kHumLeastShare = 0.1;  // of the loudest second
constexpr double kLeastPower = 3e-7;    // −65 dBFS: weaker hum harms nothing
constexpr int kLeastOddLines = 3;
}  // namespace

HumWatch::HumWatch(double bass_rate_hz)
    : second_(signal::fft_size_at_least(static_cast<std::size_t>(bass_rate_hz))),
      spectrum_(second_.size(), bass_rate_hz) {}

void HumWatch::process(const InputFrame& frame) noexcept {
  power_sum_ += frame.power;
  ++frames_;
  for (const float x : frame.bass) {
    second_[filled_++] = x;
    if (filled_ == second_.size()) {
      filled_ = 0;
      judge_second(frame.end_s);
    }
  }
}

bool HumWatch::on_rotation(double hz) const noexcept {
  if (rotation_hz_ <= 0) return false;
  const double order = hz / rotation_hz_;
  const double nearest = std::round(order);
  return nearest >= 1 && std::abs(order - nearest) * rotation_hz_ < 1.5 + 0.01 * hz;
}

double HumWatch::clear_line_power(double hz) const noexcept {
  const auto power = spectrum_.power();
  const auto near = static_cast<std::size_t>(std::lround(hz / spectrum_.bin_hz()));
  constexpr std::size_t kFrom = 4, kTo = 14;
  if (near < kTo || near + kTo >= power.size()) return 0;
  std::array<float, 2 * (kTo - kFrom + 1)> around{};
  std::size_t n = 0;
  for (std::size_t away = kFrom; away <= kTo; ++away) {
    around[n++] = power[near - away];
    around[n++] = power[near + away];
  }
  std::nth_element(around.begin(), around.begin() + around.size() / 2, around.end());
  const float line = std::max({power[near - 1], power[near], power[near + 1]});
  if (static_cast<double>(line) < kHumClearRatio * static_cast<double>(around[around.size() / 2])) return 0;
  double sum = 0;
  for (std::size_t k = near - 2; k <= near + 2; ++k) sum += static_cast<double>(power[k]);
  return sum / spectrum_.noise_bandwidth_bins();
}

void HumWatch::judge_second(double end_s) noexcept {
  spectrum_.process(second_);
  loudest_ = std::max(loudest_, 2 * power_sum_ / static_cast<double>(std::max<std::size_t>(1, frames_)));
  power_sum_ = 0;
  frames_ = 0;
  end_s_ = end_s;
  const std::size_t row = seconds_++ % kSeconds;
  for (Family& family : families_) {
    for (std::size_t k = 0; k < kMultiples; ++k) {
      const double hz = family.mains_hz * static_cast<double>(k + 1);
      family.power[row][k] = on_rotation(hz) ? 0 : clear_line_power(hz);
    }
    double hum = 0;
    int odd = 0;
    for (std::size_t k = 0; k < kMultiples; ++k) {
      double least = family.power[0][k];
      for (const auto& second : family.power) least = std::min(least, second[k]);
      hum += least;
      odd += k % 2 == 0 && least > 0 ? 1 : 0;
    }
    if (odd < kLeastOddLines) hum = 0;
    if (hum > 0 && family.hum <= 0) family.since_s = end_s - static_cast<double>(kSeconds);
    family.hum = hum;
  }
}

std::optional<MicrophoneFinding> HumWatch::finding() const noexcept {
  if (seconds_ < kSeconds) return std::nullopt;
  const Family& stronger = families_[0].hum >= families_[1].hum ? families_[0] : families_[1];
  if (stronger.hum < std::max(kLeastPower, kHumLeastShare * loudest_)) return std::nullopt;
  return MicrophoneFinding{Warning::mains_hum, std::max(0.0, stronger.since_s), end_s_, signal::power_db(stronger.hum)};
}

}  // namespace hushmill::listen
