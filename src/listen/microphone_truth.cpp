#include "listen/microphone_truth.hpp"

#include <algorithm>
#include <array>

namespace hushmill::listen {

namespace {
constexpr double kBassS = 0.0005;
constexpr std::size_t kBassPerFrame = 40;  // 20 ms
constexpr std::uint64_t kFramesPerSecond = 50;

std::size_t bass_samples(double rate_hz) { return static_cast<std::size_t>(std::lround(kBassS * rate_hz)); }
}  // namespace

MicrophoneTruth::MicrophoneTruth(double sample_rate_hz)
    : rate_hz_(sample_rate_hz),
      hum_(sample_rate_hz / static_cast<double>(bass_samples(sample_rate_hz))),
      band_(sample_rate_hz),
      holes_(band_.bin_hz(), band_.power().size()),
      bass_samples_(bass_samples(sample_rate_hz)),
      frame_samples_(kBassPerFrame * bass_samples_),
      bass_(kBassPerFrame),
      past_(band_.needed_samples()) {
  buffer_.assign(past_ + frame_samples_, 0.0F);
  filled_ = past_;
}

InputFrame MicrophoneTruth::measured_frame() noexcept {
  InputFrame frame;
  frame.past_and_frame = buffer_;
  frame.past = past_;
  frame.rate_hz = rate_hz_;
  frame.end_s = static_cast<double>(frames_ * frame_samples_) / rate_hz_;
  const auto x = frame.samples();

  // Four partial sums, so that one addition need not wait for the one before.
  std::array<float, 4> sum{}, squares{}, peak{};
  const std::size_t whole = x.size() / 4 * 4;
  for (std::size_t i = 0; i < whole; i += 4)
    for (std::size_t j = 0; j < 4; ++j) {
      const float v = x[i + j];
      sum[j] += v;
      squares[j] += v * v;
      peak[j] = std::max(peak[j], std::abs(v));
    }
  for (std::size_t i = whole; i < x.size(); ++i) {
    sum[0] += x[i];
    squares[0] += x[i] * x[i];
    peak[0] = std::max(peak[0], std::abs(x[i]));
  }
  const auto n = static_cast<double>(x.size());
  frame.mean = (static_cast<double>(sum[0]) + static_cast<double>(sum[1]) + static_cast<double>(sum[2]) + static_cast<double>(sum[3])) / n;
  const double mean_square =
      (static_cast<double>(squares[0]) + static_cast<double>(squares[1]) + static_cast<double>(squares[2]) + static_cast<double>(squares[3])) / n;
  frame.power = std::max(0.0, mean_square - frame.mean * frame.mean);
  frame.peak = std::max({peak[0], peak[1], peak[2], peak[3]});

  double bass = 0;
  for (std::size_t p = 0; p < kBassPerFrame; ++p) {
    float part = 0;
    for (std::size_t j = 0; j < bass_samples_; ++j) part += x[p * bass_samples_ + j];
    bass_[p] = part / static_cast<float>(bass_samples_);
    const double value = static_cast<double>(bass_[p]) - frame.mean;
    bass += value * value;
  }
  frame.bass = bass_;
  frame.bass_power = bass / static_cast<double>(kBassPerFrame);

  std::array<float, 4> steps{}, largest{};
  const std::size_t from = past_ - kStepsBehind;
  const auto all = frame.past_and_frame;
  for (std::size_t i = 0; i < whole; i += 4)
    for (std::size_t j = 0; j < 4; ++j) {
      const float step = all[from + i + j] - all[from + i + j - 1];
      steps[j] += step * step;
      largest[j] = std::max(largest[j], std::abs(step));
    }
  frame.step_power = (static_cast<double>(steps[0]) + static_cast<double>(steps[1]) + static_cast<double>(steps[2]) + static_cast<double>(steps[3])) /
                     static_cast<double>(whole);
  frame.largest_step = std::max({largest[0], largest[1], largest[2], largest[3]});
  if (static_cast<double>(frame.largest_step * frame.largest_step) > 10 * frame.step_power)
    for (std::size_t i = from; i < from + whole; ++i)
      if (std::abs(all[i] - all[i - 1]) == frame.largest_step) frame.largest_step_at = i;
  return frame;
}

bool MicrophoneTruth::run_frame() noexcept {
  ++frames_;
  const InputFrame frame = measured_frame();
  silence_.process(frame);
  offset_.process(frame);
  hum_.process(frame);
  splice_.process(frame);
  runs_.process(frame);
  doubled_.process(frame);
  if (band_.process(frame)) holes_.process(band_.power(), frame);
  gain_.process(frame);
  std::copy(buffer_.end() - static_cast<std::ptrdiff_t>(past_), buffer_.end(), buffer_.begin());
  filled_ = past_;
  return frames_ % kFramesPerSecond == 0;
}

std::vector<MicrophoneFinding> MicrophoneTruth::findings(bool at_end) const {
  std::vector<MicrophoneFinding> found;
  const auto suppressed = holes_.finding();
  const bool gated = gain_.noise_suppression().has_value();
  const auto add = [&](const std::optional<MicrophoneFinding>& finding) {
    if (!finding) return;
    for (MicrophoneFinding& other : found) {
      if (other.code != finding->code) continue;  // two tests may name one fault: the times of both, the larger value
      other.since_s = std::min(other.since_s, finding->since_s);
      other.until_s = std::max(other.until_s, finding->until_s);
      other.value = std::max(other.value, finding->value);
      return;
    }
    found.push_back(*finding);
  };
  if (!gated) add(silence_.silent());  // a gate that is closed is no dead input
  add(suppressed);
  add(gain_.noise_suppression());
  add(silence_.faint(at_end));
  // Repeated samples make flat tops and steps of their own.
  const auto repeated = runs_.repeated_samples();
  if (!repeated) add(runs_.flat_tops());
  add(offset_.finding());
  add(hum_.finding());
  if (!repeated) add(splice_.finding());
  add(runs_.filled_gaps());
  add(doubled_.finding());
  add(repeated);
  add(band_.finding());
  // What is left of a floor that was learned and taken out comes back, too: that is no gain.
  if (!suppressed && !gated) add(gain_.automatic_gain());
  return found;
}

}  // namespace hushmill::listen
