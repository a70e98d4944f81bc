// What the disk thread keeps of a session: the last minute, the recording, the story.
#include "live/keeper.hpp"

#include <algorithm>
#include <chrono>
#include <functional>
#include <thread>

#include "capture/recording.hpp"
#include "journal/journal.hpp"
#include "journal/sha256.hpp"
#include "live/kept_sound.hpp"
#include "live/kept_story.hpp"
#include "live/known_sound.hpp"
#include "live/open_ends.hpp"
#include "support/catch.hpp"
#include "support/temporary_folder.hpp"

using namespace hushmill;
using live::Keeper;
using live::KeepingState;
namespace fs = std::filesystem;

namespace {

constexpr double kRateHz = 16000;

live::KeepingSettings settings_in(const fs::path& folder) {
  live::KeepingSettings settings;
  settings.folder = folder;
  settings.sample_rate_hz = kRateHz;
  settings.source_kind = "scripted";
  settings.source = "known sound";
  settings.least_free_gib = 0;
  return settings;
}

/// Hands over known sound, never faster than the disk takes it.
void hear(Keeper& keeper, std::int64_t& at, std::int64_t samples) {
  std::vector<float> piece;
  while (samples > 0) {
    piece.resize(static_cast<std::size_t>(std::min<std::int64_t>(samples, 1000)));
    for (float& sample : piece) sample = test::known_sample(at++);
    samples -= static_cast<std::int64_t>(piece.size());
    while (keeper.backlog() > 0.5) std::this_thread::sleep_for(std::chrono::milliseconds(1));
    keeper.hear(piece);
  }
}

KeepingState state_when(Keeper& keeper, const std::function<bool(const KeepingState&)>& enough) {
  KeepingState state;
  const auto until = std::chrono::steady_clock::now() + std::chrono::seconds(20);
  while (std::chrono::steady_clock::now() < until) {
    if (keeper.take(state) && enough(state)) break;
    std::this_thread::sleep_for(std::chrono::milliseconds(2));
  }
  return state;
}

std::vector<float> sound_of(const fs::path& file) {
  capture::Recording recording(file);
  std::vector<float> sound, piece(4096);
  while (!recording.ended()) {
    const std::size_t got = recording.read(piece);
    sound.insert(sound.end(), piece.begin(), piece.begin() + static_cast<std::ptrdiff_t>(got));
  }
  CHECK(recording.trouble().empty());
  return sound;
}

bool is_known(const std::vector<float>& sound, std::int64_t from) {
  for (const float sample : sound) {
    if (sample != test::known_sample(from++)) return false;
  }
  return true;
}

std::vector<journal::RecordingRow> rows_in(const fs::path& folder) { return journal::Journal(folder).session(1).recordings; }

}  // namespace

TEST_CASE("one word keeps the last minute, and the journal knows the file by its hash") {
  const test::TemporaryFolder folder;
  {
    Keeper keeper(settings_in(folder.path()));
    std::int64_t at = 0;
    hear(keeper, at, static_cast<std::int64_t>(61.5 * kRateHz));
    keeper.note(live::KeepMinute{});
    hear(keeper, at, 3000);  // comes after the word
    const auto state = state_when(keeper, [](const KeepingState& s) { return s.kept_recordings == 1; });
    CHECK(state.minute_s == 60);
    CHECK_FALSE(state.recording);
    CHECK(state.sound_trouble.empty());
    CHECK(state.journal_trouble.empty());
    CHECK(state.news == "Kept the last 60 s.");
  }
  const auto rows = rows_in(folder.path());
  REQUIRE(rows.size() == 1);
  CHECK(rows[0].kind == "minute");
  CHECK(fs::path(rows[0].path).is_relative());
  const auto file = folder / rows[0].path;
  CHECK(rows[0].sha256 == journal::sha256_of(file));
  CHECK(rows[0].bytes == static_cast<std::int64_t>(fs::file_size(file)));
  CHECK(rows[0].missing_samples == 0);
  const auto sound = sound_of(file);
  REQUIRE(sound.size() == static_cast<std::size_t>(60 * kRateHz));
  const auto from = static_cast<std::int64_t>(std::llround(rows[0].from_s * kRateHz));
  CHECK(from >= static_cast<std::int64_t>(1.5 * kRateHz));
  CHECK(from <= static_cast<std::int64_t>(1.5 * kRateHz) + 3000);  // a word may be heard a moment late, never early
  CHECK(is_known(sound, from));
  CHECK((fs::status(file).permissions() & (fs::perms::group_all | fs::perms::others_all)) == fs::perms::none);
}

TEST_CASE("a session is recorded in pieces that follow each other to the sample, and packed without loss") {
  const test::TemporaryFolder folder;
  auto settings = settings_in(folder.path());
  settings.record = true;
  settings.sound_file = live::SoundFile::flac;
  settings.flac_piece_s = 2;
  const auto samples = static_cast<std::int64_t>(5 * kRateHz) + 17;
  {
    Keeper keeper(settings);
    std::int64_t at = 0;
    hear(keeper, at, samples);
    const auto state = state_when(keeper, [](const KeepingState& s) { return s.recorded_s > 5; });
    CHECK(state.recording);
  }
  const auto rows = rows_in(folder.path());
  REQUIRE(rows.size() == 3);
  std::int64_t at = 0;
  for (const auto& row : rows) {
    CAPTURE(row.path);
    CHECK(row.path.ends_with(".flac"));
    CHECK(row.sha256 == journal::sha256_of(folder / row.path));
    CHECK(std::llround(row.from_s * kRateHz) == at);
    const auto sound = sound_of(folder / row.path);
    CHECK(is_known(sound, at));
    at += static_cast<std::int64_t>(sound.size());
    REQUIRE(row.to_s);
    CHECK(std::llround(*row.to_s * kRateHz) == at);
  }
  CHECK(at == samples);
  std::size_t files = 0;
  for ([[maybe_unused]] const auto& entry : fs::directory_iterator(folder / "recordings")) ++files;
  CHECK(files == 3);  // no WAV and nothing half packed stays behind
}

TEST_CASE("a recording opens and is true while it is still growing") {
  const test::TemporaryFolder folder;
  auto settings = settings_in(folder.path());
  settings.record = true;
  Keeper keeper(settings);
  std::int64_t at = 0;
  hear(keeper, at, static_cast<std::int64_t>(3 * kRateHz));
  state_when(keeper, [](const KeepingState& s) { return s.recorded_s >= 3; });
  std::this_thread::sleep_for(std::chrono::milliseconds(1000));
  fs::path file;
  for (const auto& entry : fs::directory_iterator(folder / "recordings")) file = entry.path();
  const auto sound = sound_of(file);
  CHECK(sound.size() == static_cast<std::size_t>(3 * kRateHz));
  CHECK(is_known(sound, 0));
}

TEST_CASE("sound that was lost on the way is silence of the same length, and counted") {
  const test::TemporaryFolder folder;
  auto settings = settings_in(folder.path());
  settings.record = true;
  live::KeptSound kept(settings);
  std::vector<float> piece(1000, 0.25f);
  kept.hear(0, piece);
  kept.hear(3500, piece);
  kept.keep_minute();
  kept.finish();
  CHECK(kept.missing_samples() == 2500);
  REQUIRE(kept.files().size() == 2);
  for (const auto& file : kept.files()) {
    CAPTURE(file.kind);
    CHECK(file.missing_samples == 2500);
    const auto sound = sound_of(folder.path() / file.path);
    REQUIRE(sound.size() == 4500);
    CHECK(sound[999] == 0.25f);
    CHECK(sound[1000] == 0);
    CHECK(sound[3499] == 0);
    CHECK(sound[3500] == 0.25f);
  }
}

TEST_CASE("what was kept can be deleted again: files, rows and the minute in memory") {
  const test::TemporaryFolder folder;
  auto settings = settings_in(folder.path());
  settings.record = true;
  {
    Keeper keeper(settings);
    std::int64_t at = 0;
    hear(keeper, at, 20000);
    keeper.note(live::KeepMinute{});
    state_when(keeper, [](const KeepingState& s) { return s.kept_recordings == 2; });
    keeper.note(live::DropSound{});
    const auto state = state_when(keeper, [](const KeepingState& s) { return s.kept_recordings == 0; });
    CHECK(state.kept_recordings == 0);
    CHECK_FALSE(state.recording);
    CHECK(state.minute_s == 0);
    CHECK(state.minute);  // it fills again
    CHECK(state.news == "Deleted 2 recordings of this session and emptied the minute.");
  }
  CHECK(fs::is_empty(folder / "recordings"));
  CHECK(rows_in(folder.path()).empty());
}

TEST_CASE("the minute can be switched off, and then there is nothing of it to keep") {
  const test::TemporaryFolder folder;
  Keeper keeper(settings_in(folder.path()));
  std::int64_t at = 0;
  hear(keeper, at, 20000);
  keeper.note(live::HoldMinute{false});
  hear(keeper, at, 20000);
  auto state = state_when(keeper, [](const KeepingState& s) { return !s.minute; });
  CHECK(state.minute_s == 0);
  keeper.note(live::KeepMinute{});
  state = state_when(keeper, [](const KeepingState& s) { return s.news.find("nothing to keep") != std::string::npos; });
  CHECK(state.kept_recordings == 0);
  CHECK(state.news.find("nothing to keep") != std::string::npos);
}

TEST_CASE("a recording that is listened to is named and hashed, not recorded again") {
  const test::TemporaryFolder folder;
  test::write_bytes(folder / "own.wav", {1, 2, 3, 4});
  auto settings = settings_in(folder / "data");
  settings.listened = folder / "own.wav";
  settings.record = true;
  { Keeper keeper(settings); }
  const auto rows = rows_in(folder / "data");
  REQUIRE(rows.size() == 1);
  CHECK(rows[0].kind == "listened");
  CHECK(rows[0].path == (folder / "own.wav").string());
  CHECK(rows[0].sha256 == journal::sha256_of(folder / "own.wav"));
}

TEST_CASE("events count as kept only when another reader of the journal finds them") {
  const test::TemporaryFolder folder;
  Keeper keeper(settings_in(folder.path()));
  for (int i = 1; i <= 50; ++i) {
    listen::Event event;
    event.kind = listen::EventKind::forced_vibration;
    event.index = i;
    event.t_s = i;
    keeper.note(live::kept_event(event, {}, 6000, std::nullopt));
    const auto state = state_when(keeper, [](const KeepingState& s) { return s.kept_events > 0; });
    journal::Journal reader(folder.path());
    CHECK(reader.session(1).events.size() >= state.kept_events);
  }
  const auto state = state_when(keeper, [](const KeepingState& s) { return s.kept_events == 50; });
  CHECK(state.kept_events == 50);
  CHECK(state.session == 1);
}

TEST_CASE("without a journal the sound is kept all the same") {
  const test::TemporaryFolder folder;
  auto settings = settings_in(folder.path());
  settings.journal = false;
  settings.record = true;
  {
    Keeper keeper(settings);
    std::int64_t at = 0;
    hear(keeper, at, 20000);
  }
  CHECK_FALSE(fs::exists(folder / "journal.sqlite"));
  CHECK_FALSE(fs::is_empty(folder / "recordings"));
}

TEST_CASE("what runs is in the journal as far as it had come, and an advice does not take the place of an earlier one") {
  const test::TemporaryFolder folder;
  listen::Findings findings;
  findings.cuts.push_back({1.0, -1.0});
  listen::SpeedStretch stretch;
  stretch.entered_rpm = 6800;
  findings.stretches.push_back(stretch);
  CHECK(live::progress_due(2.0, 0.5, findings));
  CHECK_FALSE(live::progress_due(2.0, 1.5, findings));
  CHECK_FALSE(live::progress_due(2.0, 0.5, {}));
  listen::Episode episode;
  episode.start_s = 3.0;
  episode.end_s = 3.1;
  episode.alert_s = 3.1;
  episode.chatter_hz = 1205;
  episode.open = true;
  findings.episodes.push_back(episode);
  trial::Trial running;
  running.to_s = 7;
  running.spindle_rpm = 6800;
  running.outcome = trial::Outcome::chattered;
  running.chatter = trial::Levels{};
  advise::Advice first, second;
  first.reason = "down";
  second.reason = "up";
  {
    Keeper keeper(settings_in(folder.path()));
    keeper.note(live::kept_event({0, 3.1, listen::EventKind::chatter_onset, 0}, findings, 6800, std::nullopt));
    keeper.note(live::KeptAdvice{3.1, 1, first});
    keeper.note(live::KeptAdvice{8.1, 1, second});
    keeper.note(live::kept_progress(6.0, findings, std::vector{running}));
    keeper.note(live::kept_progress(7.0, findings, std::vector{running}));
  }
  const auto record = journal::Journal(folder.path()).session(1);
  CHECK(record.session.ended_utc.empty());
  CHECK(record.session.heard_s == 7.0);
  REQUIRE(record.episodes.size() == 1);
  CHECK(record.episodes[0].open);
  CHECK(record.episodes[0].end_s == 7.0);
  CHECK(record.episodes[0].entered_rpm == 6800);
  CHECK(std::ranges::count_if(record.advice, [](const auto& a) { return a.text == "down" && a.t_s == 3.1; }) == 1);
  CHECK(std::ranges::count_if(record.advice, [](const auto& a) { return a.text == "up" && a.t_s == 8.1; }) == 1);
}

TEST_CASE("an hour of progress that the disk does not take pushes no event out, and lacks nothing") {
  const test::TemporaryFolder folder;
  live::KeptStory story(settings_in(folder.path()));
  listen::Findings findings;
  findings.cuts.push_back({1.0, -1.0});
  findings.stretches.push_back({});
  const auto note = [&](live::Kept kept) { story.note(std::make_shared<const live::Kept>(std::move(kept))); };
  note(live::kept_event({0, 3.1, listen::EventKind::cut_begins, 0}, findings, 6800, std::nullopt));
  for (int second = 1; second <= 5000; ++second) note(live::kept_progress(second, findings, {}));
  std::vector<live::KeptFile> files;
  story.write(files, live::KeptStory::Clock::now());
  CHECK(story.dropped() == 0);
  CHECK(story.kept_events() == 1);
  CHECK(story.kept_notes() == 5001);
  auto record = journal::Journal(folder.path()).session(1);
  CHECK(record.session.heard_s == 5000.0);
  // Killed long after the last cut: what was recorded meanwhile tells how long was listened.
  record.events.push_back({.t_s = 6000});
  live::find_open_ends(record, folder.path());
  CHECK(record.session.heard_s == 6000.0);
}
