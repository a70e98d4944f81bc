#include "bench/frame_delay.hpp"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <atomic>
#include <chrono>
#include <cstring>
#include <memory>
#include <mutex>
#include <optional>
#include <stdexcept>
#include <string>
#include <thread>
#include <utility>

#include "capture/microphone.hpp"
#include "capture/recording_writer.hpp"
#include "dashboard/dashboard.hpp"
#include "dashboard/display.hpp"
#include "live/live.hpp"
#include "rig/rig.hpp"
#include "rig/rig_settings.hpp"
#include "support/sound_server.hpp"

namespace hushmill::bench {
namespace {

using Clock = std::chrono::steady_clock;

constexpr double kRateHz = 48000;
constexpr double kWaitTurnS = 6;         // air, a quiet cut, the cut too deep

double ms_between(Clock::time_point from, Clock::time_point to) {
  return std::chrono::duration<double, std::milli>(to - from).count();
}

/// Passes a microphone on and keeps what came through, so that the place of each sample in what was played can be found.
class Tapped : public capture::Source {
 public:
  Tapped(std::unique_ptr<capture::Source> inner, std::vector<float>& kept) : inner_(std::move(inner)), kept_(kept) {}
  double sample_rate_hz() const noexcept override { return inner_->sample_rate_hz(); }
  std::string name() const override { return inner_->name(); }
  std::size_t read(std::span<float> samples) override {
    const std::size_t got = inner_->read(samples);
    if (kept_.size() + got <= kept_.capacity()) kept_.insert(kept_.end(), samples.begin(), samples.begin() + static_cast<std::ptrdiff_t>(got));
    return got;
  }
  bool ended() const noexcept override { return inner_->ended(); }
  std::uint64_t lost_samples() const noexcept override { return inner_->lost_samples(); }
  std::optional<capture::Gap> take_gap() override { return inner_->take_gap(); }
  std::string trouble() const override { return inner_->trouble(); }
  bool reopen() override { return inner_->reopen(); }

 private:
  std::unique_ptr<capture::Source> inner_;
  std::vector<float>& kept_;
};

/// Air, a quiet cut, the same too deep, so many times. Simulated.
void write_cuts(const std::filesystem::path& file, const rig::RigSettings& scene, int onsets) {
  rig::Rig machine(scene);
  rig::RigControls controls = scene.start;
  capture::RecordingWriter writer(
      file, {.sample_rate_hz = scene.sample_rate_hz, .depth = capture::SampleDepth::bits32, .comment = "simulated"});
  const auto cut_for = [&](double duration_s) {
    machine.turn(controls);
    std::vector<float> piece(static_cast<std::size_t>(duration_s * scene.sample_rate_hz));
    machine.process(piece);
    writer.write(piece);
  };
  for (int i = 0; i < onsets; ++i) {
    controls.in_cut = false;
    cut_for(2);
    controls.in_cut = true;
    controls.depth_mm = scene.start.depth_mm;
    cut_for(2);
    controls.depth_mm = 3;
    cut_for(kWaitTurnS - 4);
  }
  writer.close();
}

/// Another recorder on the same microphone, with as little delay as the server gives (pieces of 5 ms). A sound clock runs
/// evenly, so the piece that came with the least delay says for all samples when they were at the microphone.
class Witness {
 public:
  Witness(const test::SoundServer& server, const test::TemporaryFolder& folder) : pipe_(folder / "witness.raw") {
    if (mkfifo(pipe_.c_str(), 0600) != 0) throw std::runtime_error("no pipe for the other recorder");
    recorder_ = test::ChildProcess(test::ChildCommand{
        {"sh", "-c",
         "exec parec --raw --rate=48000 --channels=1 --format=float32le --latency-msec=5 --device=bench.monitor > " + pipe_.string()},
        server.environment(),
        folder / "witness.log"});
    thread_ = std::jthread([this] { listen(); });
  }
  /// Ends the recorder, and with it the listening.
  void stop() {
    recorder_.end();
    if (thread_.joinable()) thread_.join();
  }
  const std::vector<float>& heard() const { return heard_; }
  /// When this sample was at the microphone, at the latest. After stop().
  Clock::time_point at(std::size_t sample) const { return first_ + seconds_of(sample) + least_; }

 private:
  static Clock::duration seconds_of(std::size_t samples) {
    return std::chrono::duration_cast<Clock::duration>(std::chrono::duration<double>(static_cast<double>(samples) / kRateHz));
  }
  void listen() {
    const int in = open(pipe_.c_str(), O_RDONLY | O_CLOEXEC);
    if (in < 0) return;
    std::vector<char> bytes(1 << 16);
    std::size_t kept = 0;  // bytes in front
    first_ = Clock::now();
    for (ssize_t got = 0; (got = read(in, bytes.data() + kept, bytes.size() - kept)) > 0;) {
      const auto now = Clock::now();
      kept += static_cast<std::size_t>(got);
      const std::size_t count = kept / sizeof(float);
      const std::size_t before = heard_.size();
      heard_.resize(before + count);
      std::memcpy(heard_.data() + before, bytes.data(), count * sizeof(float));
      kept -= count * sizeof(float);
      std::memmove(bytes.data(), bytes.data() + count * sizeof(float), kept);
      least_ = std::min(least_, now - first_ - seconds_of(heard_.size()));
    }
    close(in);
  }

  std::filesystem::path pipe_;
  std::vector<float> heard_;
  Clock::time_point first_;
  Clock::duration least_ = std::chrono::hours(1);
  test::ChildProcess recorder_;
  std::jthread thread_;
};

/// Where a stretch of what one recorder heard lies in what the other heard, to the sample; none when it is not found.
std::optional<std::size_t> place_in(const std::vector<float>& other, const std::vector<float>& heard, std::size_t from) {
  constexpr std::size_t kLength = 64;
  if (from + kLength > heard.size()) return std::nullopt;
  const auto at = std::search(other.begin(), other.end(), heard.begin() + static_cast<std::ptrdiff_t>(from),
                              heard.begin() + static_cast<std::ptrdiff_t>(from + kLength));
  return at == other.end() ? std::nullopt : std::optional(static_cast<std::size_t>(at - other.begin()));
}

struct Onset {
  double alert_s = 0;
  Clock::time_point on_screen;
};

}  // namespace

ScreenDelays screen_delays(int onsets) {
  const test::OwnDisplay display(1920, 1080);
  test::SoundServer server;
  server.use_here();
  const test::TemporaryFolder folder;
  const rig::RigSettings scene = rig::bracket_wall();
  const auto file = folder / "cuts.wav";
  write_cuts(file, scene, onsets);
  const double window_s = 4 + kWaitTurnS * onsets + 14;
  std::vector<float> heard;
  heard.reserve(static_cast<std::size_t>((window_s + 10) * kRateHz));

  live::LiveSettings settings;
  settings.kind = live::SourceKind::microphone;
  settings.card.programmed_rpm = scene.start.spindle_rpm;
  settings.card.flutes = scene.model.cutter.flutes;
  live::Live instrument(settings, std::make_unique<Tapped>(std::make_unique<capture::Microphone>(capture::MicrophoneSettings{
                                                               .device = test::SoundServer::kMicrophone}),
                                                           heard));
  Witness witness(server, folder);
  std::vector<Onset> seen;
  std::atomic<bool> go_on{true};
  std::atomic<bool> said_lost{false}, said_back{false};
  Clock::time_point lost_at, back_at, lost_on_screen, back_on_screen;
  std::atomic<bool> lost{false}, back{false};
  std::size_t known = 0;

  dashboard::DashboardSettings window;
  window.scale = 1;
  window.close_after_s = window_s;
  dashboard::InstrumentDoor door;
  door.poll = [&](live::State& state) { return instrument.poll(state); };
  door.send = [&](const live::Command& command) { return instrument.send(command); };
  door.drawn = [&](const live::State& state) {
    const bool chatters = state.snapshot.verdict == listen::Verdict::chatter;
    if (chatters && state.episodes.size() > known) {
      known = state.episodes.size();
      seen.push_back({state.episodes.back().alert_s, Clock::now()});
    }
    if (lost && !said_lost && !state.source.running) {
      lost_on_screen = Clock::now();
      said_lost = true;
    }
    if (back && !said_back && state.source.running) {
      back_on_screen = Clock::now();
      said_back = true;
    }
  };
  std::string failure;
  std::thread beside([&] {
    try {
      std::this_thread::sleep_for(std::chrono::seconds(3));  // a sleeping null sink wakes slowly
      server.play(file).wait(std::chrono::seconds(static_cast<long>(kWaitTurnS * onsets + 30)));
      std::this_thread::sleep_for(std::chrono::milliseconds(300));
      witness.stop();
      server.stop();
      lost_at = Clock::now();
      lost = true;
      for (int i = 0; i < 100 && !said_lost && go_on; ++i) std::this_thread::sleep_for(std::chrono::milliseconds(50));
      server.start();
      back_at = Clock::now();
      back = true;
      // The server ends with the thread that started it.
      while (go_on) std::this_thread::sleep_for(std::chrono::milliseconds(50));
    } catch (const std::exception& error) {
      failure = error.what();
    }
  });
  dashboard::run_dashboard(window, door);
  go_on = false;
  beside.join();
  if (!failure.empty()) throw std::runtime_error(failure);

  ScreenDelays delays;
  for (const Onset& onset : seen) {
    const auto sample = static_cast<std::size_t>(onset.alert_s * kRateHz);
    const auto place = place_in(witness.heard(), heard, sample);
    if (place) delays.verdict_ms.push_back(ms_between(witness.at(*place), onset.on_screen));
  }
  if (delays.verdict_ms.empty()) throw std::runtime_error("no alarm was heard through the sound server");
  if (!said_lost) throw std::runtime_error("the lost microphone was not said");
  delays.lost_ms = ms_between(lost_at, lost_on_screen);
  delays.back_ms = said_back ? ms_between(back_at, back_on_screen) : -1;
  return delays;
}

}  // namespace hushmill::bench
