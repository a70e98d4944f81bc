// Too much at once: a stalled detector, a slow disk, a busy core. Nothing is lost without being counted and dated, and what
// is torn makes no alarm. HUSHMILL_FAST_MINUTES and HUSHMILL_BUSY_MINUTES make two of these long.
#include <algorithm>
#include <atomic>
#include <chrono>
#include <cmath>
#include <cstdlib>
#include <memory>
#include <thread>
#include <vector>

#include "capture/intake.hpp"
#include "capture/recording.hpp"
#include "journal/journal.hpp"
#include "live/keeper.hpp"
#include "live/kept_sound.hpp"
#include "live/known_sound.hpp"
#include "live/listening.hpp"
#include "live/replay.hpp"
#include "live/shelf.hpp"
#include "support/additive_shop.hpp"
#include "support/catch.hpp"
#include "support/temporary_folder.hpp"

using namespace hushmill;
using Clock = std::chrono::steady_clock;

namespace {

constexpr double kLoadHz = 48000;
constexpr double kHeldBackS = 2;  // as the microphone has it

/// A microphone without a device: the test, or its thread, is the audio thread.
class IntakeSource : public capture::Source {
 public:
  explicit IntakeSource(capture::Intake& intake) : intake_(intake) {}
  double sample_rate_hz() const noexcept override { return kLoadHz; }
  std::string name() const override { return "intake"; }
  bool ended() const noexcept override { return false; }
  std::size_t read(std::span<float> samples) override {
    const std::size_t got = intake_.pop(samples, capture::Channel::left);
    read_ += got;
    return got;
  }
  std::uint64_t lost_samples() const noexcept override { return intake_.lost_frames(); }
  std::optional<capture::Gap> take_gap() override {
    const auto gap = intake_.take_gap();
    if (gap) gaps_ += gap->samples;
    return gap;
  }
  std::uint64_t read_in_all() const noexcept { return read_; }
  std::uint64_t in_gaps() const noexcept { return gaps_; }

 private:
  capture::Intake& intake_;
  std::uint64_t read_ = 0, gaps_ = 0;
};

struct LoadBench {
  explicit LoadBench(const test::ShopSound& shop, std::shared_ptr<live::Keeper> keeper = nullptr) {
    live::LiveSettings settings;
    settings.card.programmed_rpm = shop.entered_rpm;
    settings.card.flutes = shop.flutes;
    settings.kind = live::SourceKind::microphone;
    settings.keeper = std::move(keeper);
    auto door = std::make_unique<IntakeSource>(intake);
    source = door.get();
    listening = std::make_unique<live::Listening>(settings, std::move(door), live::Listening::Time{});
  }
  void hear_all() {
    while (listening->step({})) {
    }
  }
  capture::Intake intake{1, static_cast<std::size_t>(kHeldBackS* kLoadHz)};
  IntakeSource* source = nullptr;
  std::unique_ptr<live::Listening> listening;
};

live::KeepingSettings all_kept(const std::filesystem::path& folder) {
  live::KeepingSettings keeping;
  keeping.folder = folder;
  keeping.sample_rate_hz = kLoadHz;
  keeping.least_free_gib = 0;
  keeping.record = true;
  return keeping;
}

test::ShopSound healthy_cut(std::uint64_t seed) {
  return test::make_shop_sound({.seed = seed, .sample_rate_hz = kLoadHz, .duration_s = 12});
}

/// Blocks of ten milliseconds; listening rests from `from_s` for `for_s`. How many alarms.
std::uint64_t alarms_with_stall(LoadBench& bench, const test::ShopSound& shop, double from_s, double for_s, live::State& state) {
  constexpr std::size_t kBlock = 480;
  for (std::size_t at = 0; at + kBlock <= shop.samples.size(); at += kBlock) {
    bench.intake.input(std::span(shop.samples).subspan(at, kBlock), false);
    const double t_s = static_cast<double>(at + kBlock) / kLoadHz;
    if (t_s <= from_s || t_s > from_s + for_s) bench.hear_all();
  }
  bench.listening->fill(state, true);
  return state.episode_count;
}

double minutes_of(const char* name, double otherwise) {
  const char* asked = std::getenv(name);
  return asked != nullptr ? std::atof(asked) : otherwise;
}

/// The sound of `shop` over and over, `speed` times as fast as real, by a thread of its own that waits for nobody.
void run_load(const char* name, double seconds, double speed, unsigned busy, bool must_keep_up) {
  const auto shop = healthy_cut(3);
  LoadBench bench(shop);
  std::atomic<bool> over{false};
  std::vector<std::jthread> burners;
  for (unsigned i = 0; i < busy; ++i) burners.emplace_back([&over] {
      volatile double sum = 0;
      while (!over.load(std::memory_order_relaxed)) sum = sum + 1;
    });
  std::uint64_t pushed = 0;
  std::atomic<bool> played{false};
  std::jthread audio([&] {
    constexpr std::size_t kBlock = 480;
    const auto start = Clock::now();
    const auto blocks = static_cast<std::uint64_t>(seconds * kLoadHz / kBlock);
    for (std::uint64_t i = 0; i < blocks; ++i) {
      std::this_thread::sleep_until(start + std::chrono::duration_cast<Clock::duration>(std::chrono::duration<double>(static_cast<double>(i * kBlock) / kLoadHz / speed)));
      bench.intake.input(std::span(shop.samples).subspan(i * kBlock % shop.samples.size(), kBlock), false);
      pushed += kBlock;
    }
    played.store(true, std::memory_order_release);
  });
  live::State state;
  while (!played.load(std::memory_order_acquire)) {
    bench.listening->step({});
    std::this_thread::sleep_for(std::chrono::milliseconds(1));
  }
  audio.join();
  over = true;
  bench.hear_all();
  // Behind whatever was lost last there is one more block, so that every gap has an end.
  bench.intake.input(std::span(shop.samples).first(480), false);
  pushed += 480;
  bench.hear_all();
  bench.listening->fill(state, true);
  CHECK(bench.source->read_in_all() + bench.source->lost_samples() == pushed);
  CHECK(bench.source->in_gaps() == bench.source->lost_samples());
  CHECK(state.source.lost_samples == bench.source->lost_samples());
  CHECK(state.lost.empty() == (bench.source->lost_samples() == 0));
  if (must_keep_up) {
    CHECK(bench.source->lost_samples() == 0);
    WARN(name << ": " << static_cast<double>(pushed) / kLoadHz << " s of sound, " << bench.source->lost_samples() << " samples lost, "
              << state.episode_count << " alarms");
  }
}

}  // namespace

TEST_CASE("a stalled detector loses what the ring cannot hold, and says when and how much") {
  const test::TemporaryFolder folder;
  const auto shop = healthy_cut(3);
  const auto keeping = all_kept(folder.path());
  live::State state;
  {
    LoadBench bench(shop, std::make_shared<live::Keeper>(keeping));
    alarms_with_stall(bench, shop, 4, 5, state);
    CHECK(bench.source->read_in_all() + bench.source->lost_samples() == shop.samples.size());
    CHECK(bench.source->in_gaps() == bench.source->lost_samples());
  }
  // Five seconds less the two that were held back, and it lies behind those two; the block that comes while the detector wakes finds no room either.
  REQUIRE(state.lost.size() == 1);
  CHECK_THAT(state.lost[0].t_s, test::WithinAbs(6, 1e-9));
  CHECK_THAT(state.lost[0].lost_s, test::WithinAbs(3.01, 1e-9));
  CHECK(state.source.lost_samples == static_cast<std::uint64_t>(std::lround(3.01 * kLoadHz)));
  CHECK(std::count(state.warnings.begin(), state.warnings.end(), listen::Warning::dropped_samples) == 1);
  int told = 0;
  for (const auto& event : journal::Journal(folder.path()).session(1).events) {
    if (event.kind != "sound_lost") continue;
    ++told;
    CHECK_THAT(event.t_s, test::WithinAbs(6, 1e-9));
  }
  CHECK(told == 1);

  // A replay of it knows of the gap as well.
  live::Replay replay(live::subject_of(journal::Journal(folder.path()).session(1), folder.path(), std::nullopt));
  for (int i = 0; i < 2000 && !replay.findings(); ++i) std::this_thread::sleep_for(std::chrono::milliseconds(10));
  REQUIRE(replay.findings());
  REQUIRE(replay.findings()->torn.size() == 1);
  CHECK_THAT(replay.findings()->torn[0].from_s, test::WithinAbs(6, 0.001));
}

TEST_CASE("torn sound makes no alarm") {
  int whole = 0, torn = 0;
  for (std::uint64_t seed = 1; seed <= 12; ++seed) {
    const auto shop = healthy_cut(seed);
    for (const double stall_s : {0.0, 2.05, 2.6}) {
      LoadBench bench(shop);
      live::State state;
      const std::uint64_t alarms = alarms_with_stall(bench, shop, 5, stall_s, state);
      CAPTURE(seed, stall_s);
      CHECK(state.lost.empty() == (stall_s == 0));
      (stall_s == 0 ? whole : torn) += static_cast<int>(alarms);
    }
  }
  CHECK(whole == 0);
  CHECK(torn == 0);
}

TEST_CASE("what a slow disk does not take is silence of the same length at the dated place, and the rest is true") {
  const test::TemporaryFolder folder;
  const auto keeping = all_kept(folder.path());
  live::KeepingState state;
  std::int64_t at = 0;
  {
    live::Keeper keeper(keeping);
    std::vector<float> minute(static_cast<std::size_t>(60 * kLoadHz));
    // A minute at once is more than any disk takes beside it, however fast; if not this time, then the next.
    for (int i = 0; i < 20 && state.missing_samples == 0; ++i) {
      for (float& sample : minute) sample = test::known_sample(at++);
      keeper.hear(minute);
      const auto until = Clock::now() + std::chrono::seconds(20);
      while (keeper.backlog() > 0 && Clock::now() < until) std::this_thread::sleep_for(std::chrono::milliseconds(5));
      keeper.hear(std::vector<float>{test::known_sample(at++)});  // behind the hole
      while (state.recorded_s * kLoadHz < static_cast<double>(at) - 0.5 && Clock::now() < until) {
        keeper.take(state);
        std::this_thread::sleep_for(std::chrono::milliseconds(5));
      }
    }
    const auto last = keeper.close();
    if (last.missing_samples > 0) state = last;
  }
  REQUIRE(state.missing_samples > 0);
  REQUIRE(!state.holes.empty());
  double told_s = 0;
  for (const auto& hole : state.holes) told_s += hole.lost_s;
  CHECK_THAT(told_s * kLoadHz, test::WithinAbs(static_cast<double>(state.missing_samples), 1));
  const auto files = journal::Journal(folder.path()).session(1).recordings;
  REQUIRE(files.size() == 1);
  CHECK(files[0].missing_samples == static_cast<std::int64_t>(state.missing_samples));
  capture::Recording recording(folder.path() / files[0].path);
  std::vector<float> piece(48000);
  std::int64_t number = 0, silent = 0;
  bool true_or_told = true;
  while (!recording.ended()) {
    const std::size_t got = recording.read(piece);
    for (std::size_t i = 0; i < got; ++i, ++number) {
      if (piece[i] == test::known_sample(number)) continue;
      ++silent;
      const double t_s = static_cast<double>(number) / kLoadHz;
      bool told = false;
      for (const auto& hole : state.holes) told = told || (t_s >= hole.from_s - 1e-9 && t_s < hole.until_s + 1e-9);
      true_or_told = true_or_told && piece[i] == 0 && told;
    }
  }
  CHECK(number == at);
  CHECK(true_or_told);
  CHECK(silent <= static_cast<std::int64_t>(state.missing_samples));
  CHECK(silent > static_cast<std::int64_t>(state.missing_samples) / 2);
}

TEST_CASE("holes that a slow disk leaves close to each other are one, and of many the last ones are told") {
  const test::TemporaryFolder folder;
  live::KeepingSettings keeping;
  keeping.folder = folder.path();
  keeping.sample_rate_hz = 1000;
  live::KeptSound kept(keeping);
  const std::vector<float> piece(100, 0.5f);
  kept.hear(0, piece);
  kept.hear(200, piece);  // 100 missing
  kept.hear(400, piece);  // and 100 more, a tenth of a second later
  REQUIRE(kept.holes().size() == 1);
  CHECK_THAT(kept.holes()[0].from_s, test::WithinAbs(0.1, 1e-9));
  CHECK_THAT(kept.holes()[0].until_s, test::WithinAbs(0.4, 1e-9));
  CHECK_THAT(kept.holes()[0].lost_s, test::WithinAbs(0.2, 1e-9));
  for (int i = 1; i <= 50; ++i) kept.hear(5000 * i, std::vector<float>(2000, 0.5f));
  CHECK(kept.holes().size() == 32);
}

TEST_CASE("sound at sixteen times real time is heard or counted as lost, every sample") {
  const bool asked = std::getenv("HUSHMILL_FAST_MINUTES") != nullptr;
  run_load("sixteen times real time", 60 * minutes_of("HUSHMILL_FAST_MINUTES", 0.4), 16, 0, asked);
}

TEST_CASE("with every core busy, sound is heard or counted as lost, every sample") {
  const bool asked = std::getenv("HUSHMILL_BUSY_MINUTES") != nullptr;
  run_load("true rate, every core busy", 60 * minutes_of("HUSHMILL_BUSY_MINUTES", 0.03), 1, std::max(2U, std::thread::hardware_concurrency()), asked);
}
