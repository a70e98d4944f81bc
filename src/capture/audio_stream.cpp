#include "capture/audio_stream.hpp"

#include <portaudio.h>

#include <algorithm>
#include <mutex>

#include "capture/audio_block.hpp"
#include "capture/errors.hpp"
#include "text/outside_text.hpp"
#include "platform/platform.hpp"

namespace hushmill::capture {
namespace {

// PortAudio's state is one for the whole process and not safe across threads: opening, closing and listing take turns.
std::mutex portaudio_mutex;

/// The library counts these. The first one reads the device list anew, so a device that came back is only seen once all
/// others have gone.
class Session {
 public:
  Session() {
    const PaError error = Pa_Initialize();
    if (error != paNoError) {
      throw OutsideFailed(std::string("sound system: does not start (") + Pa_GetErrorText(error) + ")");
    }
  }
  ~Session() { Pa_Terminate(); }
  Session(const Session&) = delete;
  Session& operator=(const Session&) = delete;
};

}  // namespace

void AudioCall::input(std::span<const float>, bool) noexcept {}
void AudioCall::output(std::span<float> interleaved) noexcept {
  std::fill(interleaved.begin(), interleaved.end(), 0.0f);
}

struct AudioStream::Parts {
  platform::QuietSoundSystem quiet;  // for as long as the stream lives: PortAudio also prints when a device goes away
  std::unique_ptr<Session> session;
  std::string device_name;
  PaStream* stream = nullptr;
  AudioCall* call = nullptr;
  int channels = 0;
  double rate_hz = 0;

  PaError open(const AudioStreamRequest& request, int channel_count, double rate);
  /// The session ends before the exception leaves, while PortAudio is still ours alone.
  [[noreturn]] void fail(PaError error) {
    if (stream != nullptr) Pa_CloseStream(stream);
    stream = nullptr;
    session.reset();
    throw OutsideFailed("device " + in_quotes(device_name) + ": cannot be opened (" + Pa_GetErrorText(error) +
                        "); one that is plugged in and not taken by another program would be right");
  }
  static int block(const void* input, void* output, unsigned long frames, const PaStreamCallbackTimeInfo*,
                   PaStreamCallbackFlags flags, void* parts) {
    const auto& p = *static_cast<const Parts*>(parts);
    const std::size_t samples = static_cast<std::size_t>(frames) * static_cast<std::size_t>(p.channels);
    pass_block(*p.call, input, output, samples, (flags & paInputOverflow) != 0);
    return paContinue;
  }
};

PaError AudioStream::Parts::open(const AudioStreamRequest& request, int channel_count, double rate) {
  const bool input = request.direction == AudioDirection::input;
  const PaDeviceInfo* info = Pa_GetDeviceInfo(request.device.number);
  if (info == nullptr) return paInvalidDevice;
  // The device's relaxed delay (about 35 ms): a tenth of what the ear of the engine needs, and few wake-ups.
  PaStreamParameters wanted{};
  wanted.device = request.device.number;
  wanted.channelCount = channel_count;
  wanted.sampleFormat = paFloat32;
  wanted.suggestedLatency = input ? info->defaultHighInputLatency : info->defaultHighOutputLatency;
  const PaError error = Pa_OpenStream(&stream, input ? &wanted : nullptr, input ? nullptr : &wanted, rate,
                                      paFramesPerBufferUnspecified, paClipOff | paDitherOff, &Parts::block, this);
  if (error != paNoError) stream = nullptr;
  return error;
}

AudioStream::AudioStream(const AudioStreamRequest& request) : parts_(std::make_unique<Parts>()) {
  const std::lock_guard lock(portaudio_mutex);
  const platform::QuietCall quiet;
  Parts& p = *parts_;
  p.device_name = request.device.name;
  p.session = std::make_unique<Session>();
  PaError error = paInvalidDevice;
  for (const double rate_hz : request.rates_hz) {
    for (const int channels : request.channels) {
      error = p.open(request, channels, rate_hz);
      if (error != paNoError) continue;
      p.channels = channels;
      p.rate_hz = rate_hz;
      return;
    }
  }
  p.fail(error);
}

AudioStream::~AudioStream() {
  const std::lock_guard lock(portaudio_mutex);
  const platform::QuietCall quiet;
  if (parts_->stream != nullptr) {
    Pa_AbortStream(parts_->stream);  // not "stop": that would play out, or wait for, what is still under way
    Pa_CloseStream(parts_->stream);
  }
  parts_->session.reset();
}

void AudioStream::start(AudioCall& call) {
  const std::lock_guard lock(portaudio_mutex);
  const platform::QuietCall quiet;
  parts_->call = &call;
  const PaError error = Pa_StartStream(parts_->stream);
  if (error != paNoError) parts_->fail(error);
}

bool AudioStream::running() const noexcept {
  return parts_->stream != nullptr && Pa_IsStreamActive(parts_->stream) == 1;
}

int AudioStream::channels() const noexcept { return parts_->channels; }
double AudioStream::sample_rate_hz() const noexcept { return parts_->rate_hz; }

double AudioStream::latency_s() const noexcept {
  const PaStreamInfo* info = parts_->stream != nullptr ? Pa_GetStreamInfo(parts_->stream) : nullptr;
  return info == nullptr ? 0 : std::max(info->inputLatency, info->outputLatency);
}

std::vector<AudioDevice> audio_devices() {
  const std::lock_guard lock(portaudio_mutex);
  const platform::QuietCall quiet;
  const Session session;
  std::vector<AudioDevice> devices;
  for (int number = 0; number < Pa_GetDeviceCount(); ++number) {
    const PaDeviceInfo* info = Pa_GetDeviceInfo(number);
    const PaHostApiInfo* system = Pa_GetHostApiInfo(info->hostApi);
    devices.push_back({number, text::plain_line(info->name), system->name, info->maxInputChannels, info->maxOutputChannels,
                       info->defaultSampleRate, number == Pa_GetDefaultInputDevice(),
                       number == Pa_GetDefaultOutputDevice()});
  }
  return devices;
}

}  // namespace hushmill::capture
