#include "live/pace.hpp"

#include <cmath>

namespace hushmill::live {
namespace {

constexpr double kMostBehindS = 0.5;

}  // namespace

std::size_t Pace::due(Time now) noexcept {
  const double passed_s = std::chrono::duration<double>(now - start_).count();
  const double most = std::floor(kMostBehindS * rate_hz_);
  // A millionth of a sample more, so that a whole number of samples is not missed by rounding.
  double due = std::floor(passed_s * rate_hz_ + 1e-6) - static_cast<double>(taken_);
  if (due > most) {
    start_ += std::chrono::duration_cast<Time::duration>(std::chrono::duration<double>((due - most) / rate_hz_));
    due = most;
  }
  return due > 0 ? static_cast<std::size_t>(due) : 0;
}

}  // namespace hushmill::live
