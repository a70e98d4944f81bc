// One open sound device. Its .cpp is the only file that sees PortAudio.
//
// Errors come as OutsideFailed, one line that names the device. Opening and closing take some 10 to 100 ms and belong
// to one thread at a time (they take a lock of their own). While a stream lives, foreign remarks on standard error are
// muted.
#pragma once

#include <memory>
#include <span>
#include <string>
#include <vector>

#include "capture/audio_device.hpp"

namespace hushmill::capture {

/// What runs on the audio thread, called with one block after another. It may copy samples into or out of a ring and
/// count. It must not allocate, lock, log, touch files, wait, make a system call or throw.
class AudioCall {
 public:
  virtual ~AudioCall() = default;
  /// `lost_before`: the device says that it had to throw samples away before this block. [audio thread]
  virtual void input(std::span<const float> interleaved, bool lost_before) noexcept;
  /// Fill all of it. [audio thread]
  virtual void output(std::span<float> interleaved) noexcept;
};

struct AudioStreamRequest {
  AudioDirection direction = AudioDirection::input;
  AudioDevice device;
  std::vector<int> channels;     ///< in the order to be tried
  std::vector<double> rates_hz;  ///< in the order to be tried; the rate matters more than the channels
};

class AudioStream {
 public:
  /// Opens the device at the first of the rates and channels that it takes. No call comes before start().
  explicit AudioStream(const AudioStreamRequest& request);
  /// Stops the calls, then closes.
  ~AudioStream();
  AudioStream(const AudioStream&) = delete;
  AudioStream& operator=(const AudioStream&) = delete;

  /// `call` must outlive the stream.
  void start(AudioCall& call);
  /// False once the device has gone; the calls have then stopped for good. [any thread but the audio thread]
  bool running() const noexcept;
  int channels() const noexcept;
  double sample_rate_hz() const noexcept;
  /// The device's own account of its delay.
  double latency_s() const noexcept;

 private:
  struct Parts;
  std::unique_ptr<Parts> parts_;
};

}  // namespace hushmill::capture
