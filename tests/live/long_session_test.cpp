// A long session faster than real time: memory stays flat, the journal stays small. HUSHMILL_SESSION_HOURS sets how
// long (a twentieth of an hour without), HUSHMILL_SESSION_FOLDER where it is kept.
#include <unistd.h>

#include <cstdlib>
#include <fstream>
#include <thread>

#include "capture/source.hpp"
#include "journal/journal.hpp"
#include "live/keeper.hpp"
#include "live/listening.hpp"
#include "rig/rig.hpp"
#include "rig/rig_settings.hpp"
#include "support/catch.hpp"
#include "support/temporary_folder.hpp"

using namespace hushmill;

namespace {

constexpr double kRateHz = 48000;

/// The same twenty seconds over and over: quiet, a healthy cut, a deep pass that chatters.
class LoopSource : public capture::Source {
 public:
  LoopSource(std::vector<float> sound, std::uint64_t samples) : sound_(std::move(sound)), left_(samples) {}
  double sample_rate_hz() const noexcept override { return kRateHz; }
  std::string name() const override { return "loop"; }
  bool ended() const noexcept override { return left_ == 0; }
  std::size_t read(std::span<float> samples) override {
    const std::size_t count = std::min({samples.size(), sound_.size() - at_, static_cast<std::size_t>(left_)});
    std::copy_n(sound_.begin() + static_cast<std::ptrdiff_t>(at_), count, samples.begin());
    at_ = at_ + count == sound_.size() ? 0 : at_ + count;
    left_ -= count;
    return count;
  }

 private:
  std::vector<float> sound_;
  std::size_t at_ = 0;
  std::uint64_t left_;
};

std::vector<float> twenty_seconds() {
  auto settings = rig::bracket_wall();
  settings.start.in_cut = false;
  rig::Rig rig(settings);
  std::vector<float> sound(static_cast<std::size_t>(20 * kRateHz));
  std::span<float> all(sound);
  rig.process(all.first(static_cast<std::size_t>(2 * kRateHz)));
  auto controls = rig.controls();
  controls.in_cut = true;
  rig.turn(controls);
  rig.process(all.subspan(static_cast<std::size_t>(2 * kRateHz), static_cast<std::size_t>(6 * kRateHz)));
  controls.depth_mm = 3;
  rig.turn(controls);
  rig.process(all.subspan(static_cast<std::size_t>(8 * kRateHz), static_cast<std::size_t>(5 * kRateHz)));
  controls.in_cut = false;
  rig.turn(controls);
  rig.process(all.subspan(static_cast<std::size_t>(13 * kRateHz)));
  return sound;
}

double resident_mb() {
  std::ifstream statm("/proc/self/statm");
  double pages = 0, resident = 0;
  statm >> pages >> resident;
  return resident * static_cast<double>(sysconf(_SC_PAGESIZE)) / 1e6;
}

}  // namespace

TEST_CASE("a long session keeps memory flat and the journal small") {
  const char* asked = std::getenv("HUSHMILL_SESSION_HOURS");
  const char* given = std::getenv("HUSHMILL_SESSION_FOLDER");
  const double hours = asked != nullptr ? std::atof(asked) : 0.05;
  const test::TemporaryFolder own;
  // In memory where there is such a place: thousands of syncs are not what is tried here.
  const std::filesystem::path memory = "/dev/shm/hushmill-" + std::to_string(getpid());
  std::error_code none;
  const bool in_memory = given == nullptr && std::filesystem::create_directory(memory, none);
  const std::filesystem::path folder = given != nullptr ? std::filesystem::path(given) : in_memory ? memory : own.path();
  live::CutCard card;
  card.programmed_rpm = 6800;
  card.flutes = 4;
  live::KeepingSettings keeping;
  keeping.folder = folder;
  keeping.sample_rate_hz = kRateHz;
  keeping.least_free_gib = 0;
  keeping.source_kind = "scripted";
  keeping.source = "loop";
  keeping.card = card;
  double early_mb = 0, late_mb = 0;
  {
    const auto keeper = std::make_shared<live::Keeper>(keeping);
    const auto samples = static_cast<std::uint64_t>(hours * 3600 * kRateHz);
    live::Listening listening({.card = card, .kind = live::SourceKind::microphone, .states_per_s = 40, .real_time = false, .log = {}, .keeper = keeper},
                              std::make_unique<LoopSource>(twenty_seconds(), samples), {});
    live::State state;
    std::uint64_t steps = 0;
    do {
      while (keeper->backlog() > 0.5) std::this_thread::sleep_for(std::chrono::milliseconds(1));
      listening.step({});
      if (++steps % 40 == 0) listening.fill(state, true);
      if (state.snapshot.t_s > hours * 3600 / 3 && early_mb == 0) early_mb = resident_mb();
    } while (state.source.running || steps < 40);
    late_mb = resident_mb();
    CHECK(state.keeping->missing_samples == 0);
    CHECK(state.keeping->missing_notes == 0);
    CHECK(state.keeping->sound_trouble.empty());
    CHECK(state.keeping->journal_trouble.empty());
  }
  const auto bytes = std::filesystem::file_size(folder / "journal.sqlite");
  journal::Journal journal(folder);
  CHECK(journal.integrity() == "ok");
  const auto record = journal.session(1);
  INFO(hours << " h: " << record.episodes.size() << " episodes, " << record.events.size() << " events, " << early_mb << " to "
             << late_mb << " MB, journal " << static_cast<double>(bytes) / 1e6 << " MB");
  CHECK(static_cast<double>(record.episodes.size()) > hours * 3600 / 20 / 2);
  // What grows is the findings: some kilobytes an hour, allowed a megabyte an hour, and the allocator's own habits.
  CHECK(late_mb - early_mb < 8 + hours);
  CHECK(static_cast<double>(bytes) < 3e5 + hours * 2e6);
  if (in_memory) std::filesystem::remove_all(memory);
  if (asked != nullptr)
    WARN(hours << " h: " << record.episodes.size() << " episodes, " << record.events.size() << " events, " << early_mb
               << " to " << late_mb << " MB, journal " << static_cast<double>(bytes) / 1e6 << " MB");
}
