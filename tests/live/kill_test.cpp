// SIGKILL at random moments while recording and journaling. Afterwards the recording opens, holds the very samples that
// were played but for at most the last second, the journal passes SQLite's own check, and no event that was shown as
// kept is missing. HUSHMILL_KILLS sets how often; twenty without.
#include <fcntl.h>
#include <signal.h>
#include <unistd.h>

#include <algorithm>
#include <atomic>
#include <chrono>
#include <cmath>
#include <cstdlib>
#include <fstream>
#include <optional>
#include <random>
#include <sstream>
#include <thread>

#include "capture/errors.hpp"
#include "capture/recording.hpp"
#include "journal/journal.hpp"
#include "live/known_sound.hpp"
#include "live/open_ends.hpp"
#include "support/catch.hpp"
#include "support/child_process.hpp"
#include "support/temporary_folder.hpp"

using namespace hushmill;

namespace {

struct Said {
  std::int64_t heard = 0, kept = 0;
};

/// The last whole line of each kind: a kill may cut one in half.
Said what_it_said(const std::filesystem::path& file) {
  std::ostringstream text;
  text << std::ifstream(file).rdbuf();
  std::string all = text.str();
  all.resize(all.rfind('\n') == std::string::npos ? 0 : all.rfind('\n'));
  std::istringstream lines(all);
  Said said;
  std::string word;
  std::int64_t number = 0;
  while (lines >> word >> number) (word == "heard" ? said.heard : said.kept) = number;
  return said;
}

/// Writes a little beside the runs and waits for the disk, again and again: what a disk that stalls does not take, nobody can keep.
class DiskProbe {
 public:
  explicit DiskProbe(const std::filesystem::path& file) : thread_([this, file](const std::stop_token& stop) { run(file, stop); }) {}
  /// The longest that the disk took.
  double worst_s() const { return worst_s_.load(); }

 private:
  void run(const std::filesystem::path& file, const std::stop_token& stop) {
    const int open_file = ::open(file.c_str(), O_CREAT | O_WRONLY, 0600);
    while (open_file >= 0 && !stop.stop_requested()) {
      const auto begun = std::chrono::steady_clock::now();
      const bool taken = ::pwrite(open_file, "probe", 5, 0) == 5 && ::fsync(open_file) == 0;
      const double took_s = std::chrono::duration<double>(std::chrono::steady_clock::now() - begun).count();
      if (taken) worst_s_ = std::max(worst_s_.load(), took_s);
      std::this_thread::sleep_for(std::chrono::milliseconds(20));
    }
    if (open_file >= 0) ::close(open_file);
  }
  std::atomic<double> worst_s_ = 0;
  std::jthread thread_;
};

struct Checked {
  double missing_s = 0;
  bool samples_right = true, journal_right = true;
  std::int64_t kept = 0, found = 0;
};

Checked check(const std::filesystem::path& folder, const Said& said) {
  Checked checked;
  journal::Journal journal(folder, journal::Journal::Open::must_be_there);
  checked.journal_right = journal.integrity() == "ok";
  checked.kept = said.kept;
  // Killed before the journal's first line: right only if nothing was shown as kept.
  const auto record = journal.sessions().empty() ? journal::SessionRecord{} : journal.session(1);
  checked.found = static_cast<std::int64_t>(record.events.size());
  for (std::size_t i = 0; i < record.events.size(); ++i) {
    checked.journal_right = checked.journal_right && record.events[i].number == static_cast<std::int64_t>(i) + 1;
  }
  std::filesystem::path file;
  for (const auto& entry : std::filesystem::directory_iterator(folder / "recordings")) file = entry.path();
  std::optional<capture::Recording> opened;
  try {
    opened.emplace(file);
  } catch (const capture::BadInput&) {
    // Killed before the first second was over: the file may be empty, and that is what is then missing.
    checked.missing_s = static_cast<double>(said.heard) / 48000;
    return checked;
  }
  capture::Recording& recording = *opened;
  std::vector<float> piece(4800);
  std::int64_t at = 0;
  while (!recording.ended()) {
    const std::size_t got = recording.read(piece);
    for (std::size_t i = 0; i < got; ++i) {
      checked.samples_right = checked.samples_right && piece[i] == test::known_sample(at++);
    }
  }
  checked.missing_s = static_cast<double>(said.heard - at) / 48000;
  // Whoever opens it afterwards learns where it ends.
  auto ended = record;
  live::find_open_ends(ended, folder);
  if (!ended.recordings.empty())
    checked.journal_right = checked.journal_right && ended.session.heard_s && ended.recordings[0].to_s &&
                            std::abs(*ended.recordings[0].to_s - static_cast<double>(at) / 48000) < 0.01 && *ended.session.heard_s >= *ended.recordings[0].to_s;
  return checked;
}

}  // namespace

TEST_CASE("whenever the program is killed, the recording lacks at most a second and the journal nothing that was shown as kept") {
  const char* asked = std::getenv("HUSHMILL_KILLS");
  const int kills = asked != nullptr ? std::max(1, std::atoi(asked)) : 20;
  constexpr int kAtOnce = 5;
  std::mt19937 random(20261126);
  std::uniform_int_distribution<int> moment_ms(700, 3200);
  constexpr double kUsualSyncS = 0.1;
  double worst_s = 0, stalled_s = 0;
  std::int64_t events = 0;
  for (int done = 0; done < kills; done += kAtOnce) {
    const test::TemporaryFolder folder;
    struct Run {
      test::ChildProcess child;
      std::filesystem::path folder, output;
      int after_ms;
    };
    const DiskProbe disk(folder / "probe");
    std::vector<Run> runs;
    for (int i = 0; i < std::min(kAtOnce, kills - done); ++i) {
      const auto own = folder / std::to_string(i);
      std::filesystem::create_directory(own);
      const auto output = folder / (std::to_string(i) + ".txt");
      runs.push_back({test::ChildProcess({{HUSHMILL_KEEPER_CHILD, own.string()}, {}, output}), own, output, moment_ms(random)});
    }
    std::sort(runs.begin(), runs.end(), [](const Run& a, const Run& b) { return a.after_ms < b.after_ms; });
    const auto start = std::chrono::steady_clock::now();
    for (Run& run : runs) {
      std::this_thread::sleep_until(start + std::chrono::milliseconds(run.after_ms));
      run.child.kill();
    }
    for (Run& run : runs) {
      REQUIRE(run.child.wait(std::chrono::seconds(20)) == 128 + SIGKILL);
      const Said said = what_it_said(run.output);
      CAPTURE(run.after_ms, said.heard, said.kept);
      if (said.heard == 0) continue;  // killed before it had begun: nothing was promised
      const Checked checked = check(run.folder, said);
      CHECK(checked.samples_right);
      CHECK(checked.missing_s <= 1.0 + std::max(0.0, disk.worst_s() - kUsualSyncS));
      stalled_s = std::max(stalled_s, disk.worst_s());
      CHECK(checked.journal_right);
      CHECK(checked.found >= checked.kept);
      worst_s = std::max(worst_s, checked.missing_s);
      events += checked.kept;
    }
  }
  // With no event shown as kept the half of the test would have tested nothing.
  CHECK(events > kills);
  INFO("most that was missing: " << worst_s << " s, events shown as kept: " << events);
  if (asked != nullptr) WARN("killed " << kills << " times; most that was missing: " << worst_s << " s; longest that the disk took: " << stalled_s << " s; events shown as kept: " << events);
}
