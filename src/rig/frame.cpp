#include "rig/frame.hpp"

#include <cmath>

#include "cutting/mode.hpp"
#include "rig/random.hpp"

namespace hushmill::rig {
namespace {

constexpr int kResonances = 12;
constexpr double kLowestHz = 70;
constexpr double kHighestHz = 6500;

}  // namespace

Frame::Frame(double sample_rate_hz, std::uint64_t seed) {
  Random random(seed ^ 0x6672616d65ULL);
  const double step = std::log(kHighestHz / kLowestHz) / kResonances;
  for (int i = 0; i < kResonances; ++i) {
    const double hz = kLowestHz * std::exp(step * (i + random.unit()));
    const double damping = 0.02 + 0.06 * random.unit();
    const double direction = 2.0 * cutting::kPi * random.unit();
    const double level = 0.4 + 0.6 * random.unit();
    if (hz > 0.4 * sample_rate_hz) continue;
    const double turn = 2.0 * cutting::kPi * hz / sample_rate_hz;
    const double radius = std::exp(-damping * turn);
    const double drive = level * 0.5 * (1.0 - radius * radius);
    resonances_.push_back({.drive_x = static_cast<float>(drive * std::cos(direction)),
                           .drive_y = static_cast<float>(drive * std::sin(direction)),
                           .a1 = static_cast<float>(2.0 * radius * std::cos(turn)),
                           .a2 = static_cast<float>(-radius * radius)});
  }
}

float Frame::process(float force_x, float force_y) noexcept {
  const float change_x = force_x - x2_;
  const float change_y = force_y - y2_;
  x2_ = x1_;
  x1_ = force_x;
  y2_ = y1_;
  y1_ = force_y;
  float sum = 0;
  for (Resonance& r : resonances_) {
    const float y = r.drive_x * change_x + r.drive_y * change_y + r.a1 * r.y1 + r.a2 * r.y2;
    r.y2 = r.y1;
    r.y1 = y;
    sum += y;
  }
  return sum;
}

}  // namespace hushmill::rig
