#include "rig/voice.hpp"

#include <algorithm>
#include <cmath>

namespace hushmill::rig {
namespace {

constexpr double kToolAirHz = 7000;   // above it, tools this small and air take the sound away
constexpr double kChipsLowHz = 1500;  // noise of the cut: a broad band about 1.5 to 9 kHz
constexpr double kChipsHighHz = 9000;
constexpr double kLoadHz = 2500;  // how fast that noise follows the force
constexpr double kIdleHz = 900;
constexpr double kRoomHz = 400;
constexpr double kQuietestDbfs = -110;  // a microphone is never silent

float low_pass_share(double corner_hz, double sample_rate_hz) {
  return static_cast<float>(1.0 - std::exp(-2.0 * cutting::kPi * corner_hz / sample_rate_hz));
}

double from_db(double db) { return std::pow(10.0, db / 20.0); }

/// White noise of 1 through a one-pole low-pass of that share has this root mean square.
double low_passed_rms(double share) { return std::sqrt(share / (2.0 - share)); }

}  // namespace

Voice::Voice(const RigSettings& settings)
    : frame_(settings.sample_rate_hz, settings.seed),
      room_(settings.sample_rate_hz, settings.sound.reverberation_s, settings.seed),
      chips_(settings.seed ^ 0x6368697073ULL),
      idle_(settings.seed ^ 0x69646c65ULL) {
  const double rate = settings.sample_rate_hz;
  air_tool_.share = air_part_.share = low_pass_share(kToolAirHz, rate);
  chips_low_.share = low_pass_share(kChipsLowHz, rate);
  chips_high_.share = low_pass_share(kChipsHighHz, rate);
  load_.share = low_pass_share(kLoadHz, rate);
  idle_low_.share = low_pass_share(kIdleHz, rate);
  hum_low_.share = low_pass_share(kRoomHz, rate);
  const auto level = [](double dbfs, float share) {
    return static_cast<float>(from_db(std::max(dbfs, kQuietestDbfs)) / low_passed_rms(static_cast<double>(share)));
  };
  idle_level_ = level(settings.sound.idle_dbfs, idle_low_.share);
  room_level_ = level(settings.sound.room_dbfs, hum_low_.share);
}

Voice::Shares Voice::parts(const Decimator::Frame& frame) noexcept {
  const float white = chips_high_.process(static_cast<float>(chips_.normal()));
  const float load = load_.process(std::sqrt(frame[2] * frame[2] + frame[3] * frame[3]));
  return {air_tool_.process(frame[0]), air_part_.process(frame[1]), frame_.process(frame[2], frame[3]),
          (white - chips_low_.process(white)) * load};
}

float Voice::cut_alone(const Shares& parts, const Shares& gains) noexcept {
  float sum = 0;
  for (std::size_t i = 0; i < parts.size(); ++i) sum += parts[i] * gains[i];
  return room_.process(sum);
}

float Voice::mix(const Shares& parts, const Shares& gains, double revolutions) noexcept {
  const float idle = idle_level_ * idle_low_.process(static_cast<float>(idle_.normal()));
  const float room = room_level_ * hum_low_.process(static_cast<float>(idle_.normal()));
  // Unbalance and drive: one and two a turn, a little below the noise of the bearings.
  const double turn = 2.0 * cutting::kPi * (revolutions - std::floor(revolutions));
  const float whirr = 0.3F * idle_level_ * static_cast<float>(std::sin(turn) + 0.5 * std::sin(2.0 * turn + 1.0)) *
                      static_cast<float>(low_passed_rms(static_cast<double>(idle_low_.share)));
  return cut_alone(parts, gains) + idle + room + whirr;
}

}  // namespace hushmill::rig
