#include "live/replay_ear.hpp"

#include <algorithm>
#include <cmath>
#include <exception>
#include <span>

namespace hushmill::live {
namespace {

constexpr double kAstrayS = 0.3;  // further from the place than this: jump there
constexpr double kAheadS = 0.04;  // so much is handed over beyond the place, for a steady sound
constexpr double kMostS = 0.25;   // at a time

}  // namespace

void TapeSpeed::process(std::span<const float> in, double speed, std::vector<float>& out) {
  for (const float sample : in) {
    // Between the last sample and this one lie the output's places phase, phase + speed …
    const double step = std::max(speed, 0.01);
    while (phase_ < 1) {
      out.push_back(static_cast<float>(static_cast<double>(last_) + phase_ * static_cast<double>(sample - last_)));
      phase_ += step;
    }
    phase_ -= 1;
    // Faster than the tape: what is skipped goes into the mean, so that it does not fold back as loudly.
    last_ = speed > 1 ? (last_ + sample) / 2 : sample;
  }
}

std::string ReplayEar::follow(const std::vector<std::filesystem::path>& files, capture::Channel channel, double at_s, double speed, bool wanted) {
  if (!wanted) {
    if (loudspeaker_) loudspeaker_->set_volume(0);
    sound_.reset();
    return {};
  }
  try {
    if (!sound_) sound_ = std::make_unique<ReplaySound>(files, channel);
    const double rate_hz = sound_->sample_rate_hz();
    if (!loudspeaker_ || !loudspeaker_->running()) loudspeaker_ = std::make_unique<capture::Loudspeaker>(rate_hz);
    loudspeaker_->set_volume(1);
    const double ear_s = static_cast<double>(sound_->at()) / rate_hz;
    if (std::abs(ear_s - at_s) > kAstrayS && !sound_->seek(static_cast<std::uint64_t>(std::llround(at_s * rate_hz))))
      return "this recording cannot be wound, so it is not heard";
    const auto until = static_cast<std::uint64_t>(std::llround((at_s + kAheadS) * rate_hz));
    if (until <= sound_->at()) return {};
    piece_.resize(static_cast<std::size_t>(std::min(static_cast<double>(until - sound_->at()), kMostS * rate_hz)));
    const std::size_t got = sound_->read(piece_);
    played_.clear();
    tape_.process(std::span<const float>(piece_).first(got), speed, played_);
    loudspeaker_->push(played_);
    return {};
  } catch (const std::exception& failure) {
    loudspeaker_.reset();
    sound_.reset();
    return failure.what();
  }
}

}  // namespace hushmill::live
