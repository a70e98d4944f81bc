// A disk that is full, or that takes no more: one clear line, listening goes on, and what was kept before stays.
#include <signal.h>
#include <sys/mount.h>
#include <sys/resource.h>

#include <chrono>
#include <fstream>
#include <functional>
#include <set>
#include <thread>

#include "capture/recording.hpp"
#include "journal/journal.hpp"
#include "live/keeper.hpp"
#include "live/known_sound.hpp"
#include "support/catch.hpp"
#include "support/temporary_folder.hpp"

using namespace hushmill;
using live::Keeper;
using live::KeepingState;
namespace fs = std::filesystem;
using Clock = std::chrono::steady_clock;

namespace {

/// A small disk of the test's own; not there when the system does not let us.
class SmallDisk {
 public:
  explicit SmallDisk(const fs::path& at) : at_(at) {
    fs::create_directories(at);
    mounted_ = mount("tmpfs", at.c_str(), "tmpfs", 0, "size=2m") == 0;
  }
  ~SmallDisk() {
    if (mounted_) umount2(at_.c_str(), MNT_DETACH);
  }
  SmallDisk(const SmallDisk&) = delete;
  SmallDisk& operator=(const SmallDisk&) = delete;
  bool mounted() const { return mounted_; }

 private:
  fs::path at_;
  bool mounted_ = false;
};

live::KeepingSettings recording_in(const fs::path& folder) {
  live::KeepingSettings settings;
  settings.folder = folder;
  settings.record = true;
  settings.least_free_gib = 0;
  settings.sample_rate_hz = 48000;
  return settings;
}

struct Seen {
  KeepingState state;
  std::set<std::string> troubles;
};

/// Feeds ten times as fast as sound comes, with an event every tenth of a second of sound, until `enough`.
Seen feed(Keeper& keeper, std::int64_t& at, double seconds, const std::function<bool(const KeepingState&)>& enough) {
  Seen seen;
  std::vector<float> piece(4800);
  const auto most = at + static_cast<std::int64_t>(seconds * 48000);
  while (at < most) {
    for (float& sample : piece) sample = test::known_sample(at++);
    const auto before = Clock::now();
    keeper.hear(piece);
    CHECK(Clock::now() - before < std::chrono::milliseconds(500));  // whatever the disk does, nobody waits for it
    listen::Event event;
    event.kind = listen::EventKind::forced_vibration;
    event.index = static_cast<int>(at / 4800);
    keeper.note(live::kept_event(event, {}, 6000, std::nullopt));
    std::this_thread::sleep_for(std::chrono::milliseconds(10));
    if (keeper.take(seen.state)) {
      for (const auto& trouble : {seen.state.sound_trouble, seen.state.journal_trouble})
        if (!trouble.empty()) seen.troubles.insert(trouble);
    }
    if (enough(seen.state)) break;
  }
  return seen;
}

void check_what_was_kept(const fs::path& folder) {
  for (const auto& entry : fs::directory_iterator(folder / "recordings")) {
    capture::Recording recording(entry.path());
    std::vector<float> piece(4800);
    std::int64_t number = 0;
    while (!recording.ended()) {
      const std::size_t got = recording.read(piece);
      for (std::size_t i = 0; i < got; ++i) REQUIRE(piece[i] == test::known_sample(number++));
    }
    CHECK(number > 24000);
  }
}

void check_troubles(const std::set<std::string>& troubles) {
  // One line about the recording, perhaps one about the journal.
  CHECK(troubles.size() >= 1);
  CHECK(troubles.size() <= 2);
  for (const std::string& trouble : troubles) {
    INFO(trouble);
    CHECK(trouble.find('\n') == std::string::npos);
    CHECK(trouble.find("would be right") != std::string::npos);
  }
}

}  // namespace

TEST_CASE("a full disk gives one clear warning; listening goes on, and the journal catches up when there is space again") {
  const test::TemporaryFolder folder;
  const SmallDisk disk(folder / "disk");
  if (!disk.mounted()) {
    WARN("no small disk can be mounted here; the next case limits the size of files instead");
    return;
  }
  {
    // Something else takes part of the disk, so that freeing it later gives the journal room.
    std::ofstream(folder / "disk" / "other", std::ios::binary) << std::string(512 * 1024, 'x');
    Keeper keeper(recording_in(folder / "disk" / "data"));
    std::int64_t at = 0;
    auto seen = feed(keeper, at, 40, [](const KeepingState& s) { return !s.sound_trouble.empty() && !s.recording; });
    check_troubles(seen.troubles);
    CHECK_FALSE(seen.state.recording);
    seen = feed(keeper, at, 8, [](const KeepingState&) { return false; });
    CHECK(seen.troubles.size() <= 2);  // said again only if something else is wrong, too
    fs::remove(folder / "disk" / "other");
    const auto told = static_cast<std::uint64_t>(at / 4800);
    seen = feed(keeper, at, 700, [&](const KeepingState& s) { return s.kept_events >= told; });
    CHECK(seen.state.kept_events >= told);
    const auto closed = keeper.close();
    CHECK(closed.kept_notes == keeper.noted());
    CHECK(live::not_all_kept(closed, keeper.noted()).empty());
  }
  check_what_was_kept(folder / "disk" / "data");
  journal::Journal journal(folder / "disk" / "data");
  CHECK(journal.integrity() == "ok");
  // Every event is there, in order, none twice.
  std::int64_t number = 0;
  for (const auto& event : journal.session(1).events) CHECK(event.number == ++number);
}

TEST_CASE("what a full disk did not take to the end is said, and not called kept") {
  const test::TemporaryFolder folder;
  const SmallDisk disk(folder / "disk");
  if (!disk.mounted()) {
    WARN("no small disk can be mounted here");
    return;
  }
  Keeper keeper(recording_in(folder / "disk" / "data"));
  std::int64_t at = 0;
  feed(keeper, at, 60, [](const KeepingState& s) { return !s.journal_trouble.empty(); });
  const auto closed = keeper.close();
  CHECK(closed.kept_notes >= closed.kept_events);
  CHECK(closed.kept_notes < keeper.noted());
  const auto text = live::not_all_kept(closed, keeper.noted());
  INFO(text);
  CHECK(text.find("the journal lacks the last " + std::to_string(keeper.noted() - closed.kept_notes) + " of ") == 0);
  CHECK(text.find("disk is full") != std::string::npos);
}

TEST_CASE("a disk that takes no more of a file gives one clear warning, and what it took can be opened") {
  const test::TemporaryFolder folder;
  rlimit before{};
  getrlimit(RLIMIT_FSIZE, &before);
  signal(SIGXFSZ, SIG_IGN);
  rlimit less = before;
  less.rlim_cur = 700 * 1024;
  std::set<std::string> troubles;
  {
    Keeper keeper(recording_in(folder / "data"));
    setrlimit(RLIMIT_FSIZE, &less);
    std::int64_t at = 0;
    const auto seen = feed(keeper, at, 40, [](const KeepingState& s) { return !s.sound_trouble.empty() && !s.recording; });
    troubles = seen.troubles;
    CHECK_FALSE(seen.state.recording);
    feed(keeper, at, 2, [](const KeepingState&) { return false; });
    setrlimit(RLIMIT_FSIZE, &before);
  }
  signal(SIGXFSZ, SIG_DFL);
  check_troubles(troubles);
  check_what_was_kept(folder / "data");
  CHECK(journal::Journal(folder / "data").integrity() == "ok");
}

TEST_CASE("recording stops before the disk is full, at the stated space") {
  const test::TemporaryFolder folder;
  auto settings = recording_in(folder / "data");
  settings.least_free_gib = 1e9;
  Keeper keeper(settings);
  std::int64_t at = 0;
  const auto seen = feed(keeper, at, 2, [](const KeepingState& s) { return !s.sound_trouble.empty() && !s.recording; });
  CHECK_FALSE(seen.state.recording);
  CHECK(seen.state.sound_trouble.find("that stay free; nothing is recorded, listening goes on") != std::string::npos);
}
