// The microphone goes away in five ways, on a real sound server: each time listening goes on by itself, the gap is shown
// and kept, and the recording holds every sound that was played while the device was there. HUSHMILL_DEVICE_ROUNDS sets
// how often each; once without. The times that it took are told then, and held to 2 s only then.
#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdlib>
#include <functional>
#include <numbers>
#include <sstream>
#include <thread>
#include <vector>

#include "capture/microphone.hpp"
#include "capture/recording.hpp"
#include "capture/recording_writer.hpp"
#include "journal/journal.hpp"
#include "live/live.hpp"
#include "live/keeper.hpp"
#include "support/catch.hpp"
#include "support/sound_server.hpp"

using namespace hushmill;
using live::State;
using test::SoundServer;
using std::chrono::milliseconds;
using std::chrono::seconds;
using Clock = std::chrono::steady_clock;

namespace {

constexpr double kRateHz = 48000;
constexpr double kBurstS = 0.1;
constexpr double kReturnWithinS = 2;
constexpr int kShortRounds = 1;

struct Way {
  std::string name;
  std::function<void(SoundServer&)> leave, come_back;
  double away_s = 1;
  bool returns_with_the_command = false;  ///< the command waits for the device; else its own time counts as ours
};

int rounds_asked() {
  const char* asked = std::getenv("HUSHMILL_DEVICE_ROUNDS");
  return asked != nullptr ? std::max(1, std::atoi(asked)) : 0;
}

double since_s(Clock::time_point moment) { return std::chrono::duration<double>(Clock::now() - moment).count(); }

/// A burst of tone between two silences.
void write_burst(const std::filesystem::path& file) {
  capture::RecordingWriter writer(file, {.sample_rate_hz = kRateHz, .depth = capture::SampleDepth::bits32});
  const std::vector<float> silence(static_cast<std::size_t>(0.3 * kRateHz), 0.0F);
  std::vector<float> burst(static_cast<std::size_t>(kBurstS * kRateHz));
  for (std::size_t i = 0; i < burst.size(); ++i)
    burst[i] = static_cast<float>(0.4 * std::sin(2 * std::numbers::pi * 1250 * (static_cast<double>(i) + 0.5) / kRateHz));
  writer.write(silence);
  writer.write(burst);
  writer.write(silence);
  writer.close();
}

/// How many whole bursts a recording holds.
int bursts_in(const std::filesystem::path& file) {
  capture::Recording recording(file);
  std::vector<float> piece(480);
  int bursts = 0, loud = 0, quiet = 0;
  while (!recording.ended()) {
    const std::size_t got = recording.read(piece);
    for (std::size_t i = 0; i < got; ++i) {
      if (std::abs(piece[i]) > 1e-3F) {
        ++loud;
        quiet = 0;
      } else if (++quiet == 480) {
        if (loud > 0.98 * kBurstS * kRateHz) ++bursts;
        loud = 0;
      }
    }
  }
  return bursts;
}

class Bench {
 public:
  Bench() {
    server.use_here();
    write_burst(folder_ / "burst.wav");
    live::KeepingSettings keeping;
    keeping.folder = folder_ / "kept";
    keeping.source_kind = "microphone";
    keeping.source = SoundServer::kMicrophone;
    keeping.record = true;
    keeping.least_free_gib = 0;
    keeper_ = std::make_shared<live::Keeper>(keeping);
    live::LiveSettings settings;
    settings.kind = live::SourceKind::microphone;
    settings.keeper = keeper_;
    instrument_ = std::make_unique<live::Live>(settings, std::make_unique<capture::Microphone>(capture::MicrophoneSettings{
                                                             .device = SoundServer::kMicrophone, .sample_rate_hz = kRateHz}));
  }

  bool wait(const std::function<bool(const State&)>& enough, seconds at_most = seconds(20)) {
    const auto until = Clock::now() + at_most;
    while (Clock::now() < until) {
      if (instrument_->poll(state) && enough(state)) return true;
      std::this_thread::sleep_for(milliseconds(4));
    }
    return false;
  }
  bool hears() {
    const double t_s = state.snapshot.t_s;
    return wait([t_s](const State& s) { return s.source.running && s.snapshot.t_s > t_s + 0.02; });
  }
  /// Plays a burst and waits until the listener has heard it.
  bool hears_a_burst() {
    auto player = server.play(folder_ / "burst.wav");
    ++bursts_played;
    return wait([](const State& s) { return s.snapshot.peak_dbfs > -20; }) && player.wait(seconds(10)) == 0 && hears();
  }
  /// Ends the session.
  journal::SessionRecord kept() {
    instrument_.reset();
    keeper_->close();
    keeper_.reset();
    return journal::Journal(folder_ / "kept").session(1);
  }
  std::filesystem::path kept_folder() const { return folder_ / "kept"; }

  SoundServer server{SoundServer::Pace::prompt};
  State state;
  int bursts_played = 0;

 private:
  test::TemporaryFolder folder_;
  std::shared_ptr<live::Keeper> keeper_;
  std::unique_ptr<live::Live> instrument_;
};

std::string told(const std::vector<double>& times_s) {
  auto sorted = times_s;
  std::sort(sorted.begin(), sorted.end());
  std::ostringstream text;
  text.precision(3);
  text << "median " << sorted[sorted.size() / 2] << " s, longest " << sorted.back() << " s";
  return text.str();
}

}  // namespace

TEST_CASE("a microphone that goes away comes back by itself, its gap is shown, and nothing recorded is lost") {
  const auto& way = GENERATE(values<Way>({
      {"unplugged", [](SoundServer& s) { s.unplug(); }, [](SoundServer& s) { s.plug_in(); }},
      {"the source suspended", [](SoundServer& s) { s.suspend(true); }, [](SoundServer& s) { s.suspend(false); }, 3},
      {"the sound server restarted", [](SoundServer& s) { s.stop(); }, [](SoundServer& s) { s.start(); }},
      // PulseAudio's own way of giving its devices to a program that wants them for itself.
      {"another program takes the device", [](SoundServer& s) { s.lend(seconds(4)); }, [](SoundServer& s) { s.take_back(); }, 0, true},
      {"back at another rate", [](SoundServer& s) { s.unplug(); }, [](SoundServer& s) { s.plug_in(44100); }},
  }));
  CAPTURE(way.name);
  const int asked = rounds_asked();
  Bench bench;
  REQUIRE(bench.hears());
  CHECK(bench.hears_a_burst());
  std::vector<double> noticed_s, returned_s, gap_s;
  for (int round = 0; round < std::max(kShortRounds, asked); ++round) {
    const auto left = Clock::now();
    way.leave(bench.server);
    REQUIRE(bench.wait([](const State& s) { return !s.source.running; }));
    noticed_s.push_back(since_s(left));
    CHECK(bench.state.source.trouble.starts_with("microphone 'bench_microphone'"));
    std::this_thread::sleep_until(left + std::chrono::duration<double>(way.away_s));
    const auto gaps = bench.state.lost.empty() ? 0.0 : bench.state.lost.back().t_s;
    auto back = Clock::now();
    way.come_back(bench.server);
    if (way.returns_with_the_command) back = Clock::now();
    REQUIRE(bench.hears());
    returned_s.push_back(since_s(back));
    const double away_s = since_s(left);
    REQUIRE_FALSE(bench.state.lost.empty());
    CHECK((bench.state.lost.back().t_s > gaps || gaps == 0.0));
    gap_s.push_back(bench.state.lost.back().lost_s);
    CHECK(gap_s.back() > way.away_s / 2);
    CHECK(gap_s.back() < away_s + 0.1);
    CHECK(bench.hears_a_burst());
  }
  const double heard_s = bench.state.snapshot.t_s;
  const auto record = bench.kept();
  REQUIRE(record.recordings.size() == 1);
  CHECK(record.recordings.front().missing_samples == 0);
  CHECK(*record.recordings.front().to_s >= heard_s);
  const int bursts = bursts_in(bench.kept_folder() / record.recordings.front().path);
  CHECK(bursts == bench.bursts_played);
  // A busy machine may lose a moment more.
  const auto gaps_kept = std::count_if(record.events.begin(), record.events.end(), [](const auto& e) { return e.kind == "sound_lost"; });
  CHECK(gaps_kept >= static_cast<std::ptrdiff_t>(gap_s.size()));
  if (asked > 0) {
    WARN(way.name << ", " << asked << " times: noticed after " << told(noticed_s) << "; back after " << told(returned_s) << "; in the recording "
                  << bursts << " of " << bench.bursts_played << " bursts, samples missing " << record.recordings.front().missing_samples
                  << "; gaps in the journal " << gaps_kept);
    CHECK(*std::max_element(returned_s.begin(), returned_s.end()) <= kReturnWithinS);
  }
}

TEST_CASE("a device that sleeps too shortly to be missed leaves a gap of that length at its place") {
  const int rounds = std::max(kShortRounds, rounds_asked());
  Bench bench;
  REQUIRE(bench.hears());
  CHECK(bench.hears_a_burst());
  std::vector<double> gap_s;
  for (int round = 0; round < rounds; ++round) {
    const double before_s = bench.state.snapshot.t_s;
    const auto asleep = Clock::now();
    bench.server.suspend(true);
    std::this_thread::sleep_for(milliseconds(800));
    bench.server.suspend(false);
    REQUIRE(bench.wait([before_s](const State& s) { return !s.lost.empty() && s.lost.back().t_s > before_s; }));
    gap_s.push_back(bench.state.lost.back().lost_s);
    CHECK(gap_s.back() > 0.4);
    CHECK(gap_s.back() < since_s(asleep) + 0.1);
    CHECK(bench.hears_a_burst());
  }
  const auto record = bench.kept();
  CHECK(std::count_if(record.events.begin(), record.events.end(), [](const auto& e) { return e.kind == "sound_lost"; }) >= rounds);
  CHECK(bursts_in(bench.kept_folder() / record.recordings.front().path) == bench.bursts_played);
  if (rounds_asked() > 0) WARN("asleep for 0.8 s, " << rounds << " times: gap " << told(gap_s));
}
