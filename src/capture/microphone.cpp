#include "capture/microphone.hpp"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <thread>
#include <utility>

#include "capture/audio_device.hpp"
#include "capture/audio_stream.hpp"
#include "capture/errors.hpp"
#include "capture/intake.hpp"

namespace hushmill::capture {
namespace {

using Clock = std::chrono::steady_clock;

// A device that delivers nothing for so long counts as gone. The first block may take longer: sound servers wake up
// slowly (a PulseAudio null sink at rest hands out its sound every 2 s).
constexpr std::chrono::milliseconds kGoneAfter{2000};
constexpr std::chrono::milliseconds kFirstBlockWithin{5000};
constexpr std::chrono::milliseconds kWaitForBlock{5};
// Shorter sleeps of a device leave no trace but missing time: sound that stays away for so long is looked at when it is back.
constexpr std::chrono::milliseconds kStall{250};
// Blocks that were only late come in at once; each look after the first new one waits so long for more of them.
constexpr std::chrono::milliseconds kLook{60};
constexpr std::chrono::milliseconds kLookAtMost{800};

}  // namespace

struct Microphone::Parts {
  MicrophoneSettings settings;
  std::string device_name;
  double rate_hz = 0;
  // In the way of the sound; the stream ends before the intake that it calls.
  std::unique_ptr<Intake> intake;
  std::unique_ptr<AudioStream> stream;
  std::uint64_t lost_earlier = 0;  // by earlier openings, and while there was none
  std::uint64_t samples_read = 0;
  std::uint64_t read_before_opening = 0;
  std::optional<Gap> outage;
  std::uint64_t blocks_seen = 0;
  Clock::time_point last_block;
  Clock::time_point waiting_since;  // for sound, while there is none
  bool stalled = false;
  std::optional<Clock::time_point> flows_since;  // the first block after a stall
  Clock::time_point looked;
  std::size_t waited_then = 0;  // frames, at the last look
  std::uint64_t lost_then = 0;  // frames, at the last block before the silence
  std::string trouble;
  bool gone = false;
  bool resting = false;

  void open(const AudioDevice& device, const std::vector<double>& rates_hz);
  void watch();
  bool stall_is_over();
  double missing_frames(Clock::time_point now) const;
  void mark_outage(Clock::time_point now);
  void close();
  bool sound_flows();
  bool open_again();
};

void Microphone::Parts::open(const AudioDevice& device, const std::vector<double>& rates_hz) {
  if (settings.channel == Channel::right && device.inputs < 2) {
    throw BadInput("channel right: microphone " + in_quotes(device.name) + " has one channel; left would be right");
  }
  // Two channels are asked for even when only the first is listened to: asked for one, a sound server would mix them.
  const std::vector<int> channels = device.inputs < 2                    ? std::vector<int>{1}
                                    : settings.channel == Channel::right ? std::vector<int>{2}
                                                                         : std::vector<int>{2, 1};
  stream = std::make_unique<AudioStream>(AudioStreamRequest{AudioDirection::input, device, channels, rates_hz});
  rate_hz = stream->sample_rate_hz();
  intake =
      std::make_unique<Intake>(stream->channels(), static_cast<std::size_t>(std::ceil(settings.held_back_s * rate_hz)));
  intake->watch_sides(rate_hz, settings.channel);
  blocks_seen = 0;
  lost_then = 0;
  if (!gone) last_block = Clock::now();
  stream->start(*intake);
}

void Microphone::Parts::watch() {
  const auto now = Clock::now();
  const std::uint64_t blocks = intake->blocks();
  const bool comes = blocks != blocks_seen;
  if (comes && !stalled) {
    blocks_seen = blocks;
    last_block = now;
    lost_then = intake->lost_frames();
  }
  stalled = stalled || (blocks > 0 && now - last_block > kStall);
  const bool silent = !comes && now - last_block > (blocks == 0 ? kFirstBlockWithin : kGoneAfter);
  if (stream->running() && !silent) return;
  gone = true;
  waiting_since = now;
  stalled = false;
  flows_since.reset();
  trouble = "microphone " + in_quotes(device_name) + (silent ? " delivers no sound" : " is gone") +
            "; plugged in and switched on would be right";
}

/// Nothing is read until it is known whether what came after a stall makes up for it; what does not is a gap, here. A listener that
/// was late itself finds all of it waiting.
bool Microphone::Parts::stall_is_over() {
  if (intake->blocks() == blocks_seen) return false;
  const auto now = Clock::now();
  if (!flows_since) {
    flows_since = looked = now;
    waited_then = intake->waiting_frames();
    return false;
  }
  if (now - looked < kLook) return false;
  const std::size_t waits = intake->waiting_frames();
  const double came_s = static_cast<double>(waits - waited_then) / rate_hz;
  const bool still_pours = came_s > 1.5 * std::chrono::duration<double>(now - looked).count();
  looked = now;
  waited_then = waits;
  if (still_pours && now - *flows_since < kLookAtMost) return false;
  stalled = false;
  flows_since.reset();
  if (missing_frames(now) > std::chrono::duration<double>(kStall).count() / 2 * rate_hz) mark_outage(now);
  last_block = now;
  blocks_seen = intake->blocks();
  return true;
}

/// By the clock: what should have come since the last block, less what did.
double Microphone::Parts::missing_frames(Clock::time_point now) const {
  const double due = std::chrono::duration<double>(now - last_block).count() * rate_hz;
  return due - static_cast<double>(intake->waiting_frames()) - static_cast<double>(intake->lost_frames() - lost_then);
}

void Microphone::Parts::mark_outage(Clock::time_point now) {
  outage = Gap{samples_read, static_cast<std::uint64_t>(std::max(0.0, missing_frames(now)))};
  lost_earlier += outage->samples;
}

void Microphone::Parts::close() {
  stalled = false;
  flows_since.reset();
  stream.reset();
  if (intake) lost_earlier += intake->lost_frames();
  intake.reset();
}

Microphone::Microphone(const MicrophoneSettings& settings) : parts_(std::make_unique<Parts>()) {
  Parts& p = *parts_;
  p.settings = settings;
  rates_to_try(settings.sample_rate_hz, settings.sample_rate_hz);  // a wrong rate is named before any device is
  const auto devices = audio_devices();
  const AudioDevice& device = pick_device(devices, settings.device, AudioDirection::input);
  p.device_name = device.name;
  p.open(device, rates_to_try(settings.sample_rate_hz, device.default_rate_hz));
}

Microphone::~Microphone() { parts_->close(); }

double Microphone::sample_rate_hz() const noexcept { return parts_->rate_hz; }
std::string Microphone::name() const { return parts_->device_name; }
bool Microphone::ended() const noexcept { return parts_->gone; }
std::string Microphone::trouble() const { return parts_->trouble; }
SidesFault Microphone::sides_fault() const noexcept { return parts_->intake ? parts_->intake->sides_fault() : SidesFault::none; }
double Microphone::latency_s() const noexcept { return parts_->stream ? parts_->stream->latency_s() : 0; }

std::uint64_t Microphone::lost_samples() const noexcept {
  return parts_->lost_earlier + (parts_->intake ? parts_->intake->lost_frames() : 0);
}

std::size_t Microphone::read(std::span<float> samples) {
  Parts& p = *parts_;
  if (p.gone || p.resting) return 0;  // until reopen() has dated the gap
  if (p.stalled) {
    if (!p.stall_is_over()) {
      std::this_thread::sleep_for(kWaitForBlock);
      p.watch();
      return 0;
    }
    if (p.outage) return 0;  // its place is before what waits
  }
  std::size_t got = p.intake->pop(samples, p.settings.channel);
  if (got == 0) {
    // One short wait, so that whoever reads in a loop does not keep a core busy.
    std::this_thread::sleep_for(kWaitForBlock);
    got = p.intake->pop(samples, p.settings.channel);
  }
  p.samples_read += got;
  if (got == 0) p.watch();
  return got;
}

std::optional<Gap> Microphone::take_gap() {
  Parts& p = *parts_;
  if (p.outage) return std::exchange(p.outage, std::nullopt);
  std::optional<Gap> gap = p.intake ? p.intake->take_gap() : std::nullopt;
  if (gap) gap->before_sample += p.read_before_opening;
  return gap;
}

bool Microphone::Parts::sound_flows() { return stream && stream->running() && intake->blocks() != blocks_seen; }

bool Microphone::Parts::open_again() {
  close();
  waiting_since = Clock::now();
  try {
    const auto devices = audio_devices();
    const auto same = std::find_if(devices.begin(), devices.end(), [this](const AudioDevice& device) {
      return device.name == device_name && device.inputs > 0;
    });
    if (same == devices.end()) return false;
    // The engine has one rate for a session: a device that has only others by now stays away, and is said to.
    trouble = "microphone " + in_quotes(device_name) + " is there but cannot be opened; not taken by another program and at " +
              std::to_string(std::lround(rate_hz)) + " Hz, as before, would be right";
    open(*same, {rate_hz});
    trouble = "microphone " + in_quotes(device_name) + " delivers no sound; plugged in and switched on would be right";
    read_before_opening = samples_read;
    return true;
  } catch (const std::exception&) {
    close();  // trouble() still says what is wrong
    return false;
  }
}

void Microphone::rest(bool on) {
  Parts& p = *parts_;
  if (p.gone || p.resting == on) return;
  p.resting = on;
  if (on) {
    p.close();
  } else if (!p.open_again()) {
    p.gone = true;
    p.last_block = p.waiting_since = Clock::now();
    p.trouble = "microphone " + in_quotes(p.device_name) + " is gone; plugged in and switched on would be right";
  }
}

bool Microphone::reopen() {
  Parts& p = *parts_;
  if (!p.gone) return true;
  if (!p.sound_flows()) {
    // A device that only slept goes on by itself, and one that was just opened needs a moment: each gets its time.
    const bool may_yet_come = p.stream && p.stream->running() && Clock::now() - p.waiting_since < kFirstBlockWithin;
    if (may_yet_come || !p.open_again() || !p.sound_flows()) return false;
  }
  const auto now = Clock::now();
  p.mark_outage(now);
  p.last_block = now;
  p.gone = false;
  p.trouble.clear();
  return true;
}

}  // namespace hushmill::capture
