#include "rig/room.hpp"

#include <cmath>

#include "rig/random.hpp"

namespace hushmill::rig {
namespace {

constexpr double kEarlyFromS = 0.002;
constexpr double kEarlyToS = 0.021;
constexpr double kLineS[] = {0.0297, 0.0371, 0.0411, 0.0437};
constexpr float kDull = 0.35F;  // of each round through a line: walls and air take the high notes first
constexpr float kTail = 0.25F;

}  // namespace

Room::Room(double sample_rate_hz, double reverberation_s, std::uint64_t seed) : there_(reverberation_s > 0) {
  if (!there_) return;
  Random random(seed ^ 0x726f6f6dULL);
  early_.resize(static_cast<std::size_t>(kEarlyToS * 1.3 * sample_rate_hz) + 2);
  for (std::size_t i = 0; i < kEarly; ++i) {
    const double share = (static_cast<double>(i) + random.unit()) / kEarly;
    const double delay_s = kEarlyFromS + (kEarlyToS - kEarlyFromS) * share;
    early_delay_[i] = static_cast<std::size_t>(delay_s * sample_rate_hz) + 1;
    const double level = 0.45 / (1.0 + delay_s / 0.006);
    early_gain_[i] = static_cast<float>(random.unit() < 0.3 ? -level : level);
  }
  for (std::size_t i = 0; i < kLines; ++i) {
    const double length_s = kLineS[i] * (0.9 + 0.2 * random.unit());
    lines_[i].samples.resize(static_cast<std::size_t>(length_s * sample_rate_hz) + 1);
    lines_[i].gain = static_cast<float>(std::pow(10.0, -3.0 * length_s / reverberation_s));
  }
}

float Room::process(float sound) noexcept {
  if (!there_) return sound;
  early_[early_at_] = sound;
  float out = sound;
  for (std::size_t i = 0; i < kEarly; ++i) {
    const std::size_t from =
        early_at_ >= early_delay_[i] ? early_at_ - early_delay_[i] : early_at_ + early_.size() - early_delay_[i];
    out += early_gain_[i] * early_[from];
  }
  early_at_ = early_at_ + 1 == early_.size() ? 0 : early_at_ + 1;

  std::array<float, kLines> ends{};
  float sum = 0;
  for (std::size_t i = 0; i < kLines; ++i) {
    Line& line = lines_[i];
    line.dull += (1.0F - kDull) * (line.samples[line.at] - line.dull);
    ends[i] = line.dull * line.gain;
    sum += ends[i];
  }
  for (std::size_t i = 0; i < kLines; ++i) {
    Line& line = lines_[i];
    line.samples[line.at] = sound + ends[i] - 0.5F * sum;  // a reflection of the vector of ends: loses nothing itself
    line.at = line.at + 1 == line.samples.size() ? 0 : line.at + 1;
  }
  return out + kTail * sum;
}

}  // namespace hushmill::rig
