#include "capture/loudspeaker.hpp"

#include <algorithm>
#include <cmath>

#include "capture/audio_device.hpp"

namespace hushmill::capture {
namespace {

constexpr double kRingS = 0.12;
constexpr double kFullTurnS = 0.02;  // from silent to loudest

}  // namespace

Loudspeaker::Loudspeaker(double sample_rate_hz, const std::string& device)
    : volume_step_(1.0 / (kFullTurnS * sample_rate_hz)) {
  const auto devices = audio_devices();
  const AudioDevice& picked = pick_device(devices, device, AudioDirection::output);
  name_ = picked.name;
  const std::vector<int> channels = picked.outputs < 2 ? std::vector<int>{1} : std::vector<int>{2, 1};
  stream_ =
      std::make_unique<AudioStream>(AudioStreamRequest{AudioDirection::output, picked, channels, {sample_rate_hz}});
  outlet_ = std::make_unique<Outlet>(stream_->channels(), static_cast<std::size_t>(kRingS * sample_rate_hz));
  stream_->start(*outlet_);
}

void Loudspeaker::set_volume(double volume) noexcept {
  wanted_volume_ = std::isfinite(volume) ? std::clamp(volume, 0.0, 1.0) : 0.0;
}

void Loudspeaker::push(std::span<const float> samples) {
  piece_.resize(samples.size());
  for (std::size_t i = 0; i < samples.size(); ++i) {
    volume_ += std::clamp(wanted_volume_ - volume_, -volume_step_, volume_step_);
    const double sample = std::isfinite(samples[i]) ? static_cast<double>(samples[i]) : 0.0;
    piece_[i] = static_cast<float>(std::clamp(volume_ * sample, -1.0, 1.0));
  }
  outlet_->push(piece_);
}

}  // namespace hushmill::capture
