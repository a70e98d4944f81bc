#include "capture/sides.hpp"

#include <algorithm>
#include <bit>
#include <cmath>

namespace hushmill::capture {

namespace {
constexpr double kLeastPower = 0.5e-7;   // mean square of −70 dBFS
constexpr double kWeakRatio = 400;       // 26 dB
constexpr double kOpposite = -0.8;       // correlation: the mix falls by 10 dB
constexpr int kRemembered = 10;
constexpr int kLeastOfThem = 8;
constexpr std::uint32_t kMask = (1U << kRemembered) - 1U;
}  // namespace

Sides::Sides(double sample_rate_hz, int channels, Channel chosen) noexcept
    : frames_per_tenth_(std::max<std::size_t>(1, static_cast<std::size_t>(sample_rate_hz / 10))), two_(channels == 2), chosen_(chosen) {}

void Sides::Sums::add(float l, float r) noexcept {
  left += static_cast<double>(l) * static_cast<double>(l);
  right += static_cast<double>(r) * static_cast<double>(r);
  cross += static_cast<double>(l) * static_cast<double>(r);
}

bool Sides::Sums::opposite() const noexcept {
  const double scale = std::sqrt(left * right);
  return scale > 0 && cross < kOpposite * scale;
}

void Sides::process(std::span<const float> interleaved) noexcept {
  if (!two_) return;
  for (std::size_t i = 0; i + 1 < interleaved.size(); i += 2) {
    const float l = std::isfinite(interleaved[i]) ? interleaved[i] : 0.0F;
    const float r = std::isfinite(interleaved[i + 1]) ? interleaved[i + 1] : 0.0F;
    whole_.add(l, r);
    steps_.add(l - last_left_, r - last_right_);
    last_left_ = l;
    last_right_ = r;
    if (++in_tenth_ == frames_per_tenth_) judge_tenth();
  }
}

void Sides::judge_tenth() noexcept {
  const double n = static_cast<double>(in_tenth_);
  const Sums whole = whole_, steps = steps_;
  in_tenth_ = 0;
  whole_ = steps_ = {};
  if (std::max(whole.left, whole.right) < kLeastPower * n) return;
  const bool left_dead = whole.left * kWeakRatio < whole.right;
  const bool right_dead = whole.right * kWeakRatio < whole.left;
  const bool dead = (chosen_ != Channel::right && left_dead) || (chosen_ != Channel::left && right_dead);
  const bool opposite = chosen_ == Channel::mix && whole.opposite() && steps.opposite();
  recent_dead_ = ((recent_dead_ << 1U) | (dead ? 1U : 0U)) & kMask;
  recent_opposite_ = ((recent_opposite_ << 1U) | (opposite ? 1U : 0U)) & kMask;
  tenths_ = std::min(tenths_ + 1, kRemembered);
  if (tenths_ < kRemembered) return;
  if (std::popcount(recent_dead_) >= kLeastOfThem) fault_ = SidesFault::one_sided;
  if (std::popcount(recent_opposite_) >= kLeastOfThem) fault_ = SidesFault::sides_cancel;
}

}  // namespace hushmill::capture
