#include "journal/journal.hpp"

#include <fstream>

#include "journal/errors.hpp"
#include "journal/folders.hpp"
#include "journal/strays.hpp"
#include "support/catch.hpp"
#include "support/temporary_folder.hpp"

using namespace hushmill;
using journal::Journal;

namespace {

journal::SessionRow session_of(const std::string& job, const std::string& material) {
  journal::SessionRow session;
  session.started_utc = "2026-11-26T09:15:00.000Z";
  session.utc_offset_min = 60;
  session.source_kind = "microphone";
  session.source = "built-in; \"odd\" name";
  session.sample_rate_hz = 48000;
  session.program_version = "0.1.0";
  session.settings = "--rpm 6000";
  session.job = job;
  session.setup.machine = "mill 2";
  session.setup.material = material;
  return session;
}

journal::RecordingRow recording_of(const std::string& path, const std::string& started) {
  journal::RecordingRow row;
  row.path = path;
  row.kind = "minute";
  row.sha256 = "00";
  row.sample_rate_hz = 48000;
  row.started_utc = started;
  return row;
}

void make_file(const std::filesystem::path& file, std::size_t bytes) {
  std::filesystem::create_directories(file.parent_path());
  std::ofstream(file, std::ios::binary) << std::string(bytes, 'x');
}

}  // namespace

TEST_CASE("what is written is read again, all of it") {
  const test::TemporaryFolder folder;
  std::int64_t id = 0;
  {
    Journal journal(folder.path());
    id = journal.begin_session(session_of("bracket", "6082"));
    journal.add(id, journal::CardRow{.t_s = 0, .programmed_rpm = 6000, .override_percent = 90, .entered_rpm = 5400, .flutes = 4,
                                     .diameter_mm = 12, .radial_mm = {}, .depth_mm = 3.0, .milling = "climb", .feed_mm_min = 1200,
                                     .min_rpm = {}, .max_rpm = {}, .tool_max_rpm = {}, .knob_step_percent = {}, .damping_ratio = {}});
    journal.add(id, journal::EventRow{1.5, "2026-11-26T09:15:01.500Z", "cut_begins", 1, std::nullopt, ""});
    journal.put(id, journal::CutRow{1, 1.4, std::nullopt});
    journal.put(id, journal::CutRow{1, 1.4, 9.0});
    journal::EpisodeRow episode;
    episode.number = 1;
    episode.start_s = 3.25;
    episode.alert_s = 3.5;
    episode.chatter_hz = 1370.25;
    episode.kind = "hopf";
    episode.return_of = 1;
    episode.entered_rpm = 5400;
    journal.put(id, episode);
    journal::AdviceRow lower;
    lower.direction = "lower";
    lower.first = true;
    lower.spindle_rpm = 5180;
    journal.put_advice(id, 1, {lower, lower});
    journal.put_advice(id, 1, {lower});
    journal::TrialRow trial;
    trial.spindle_rpm = 5180;
    trial.outcome = "held";
    trial.quiet_s = 12;
    journal.put(id, trial);
    journal.put_taps(id, {{"2026-11-26T09:10:00.000Z", true, 1310, 4, 0.03, 0.002, 5}});
    journal.add(id, journal::NoteRow{4.0, "2026-11-26T09:15:04.000Z", "coolant off; 'quoted', \"twice\"\nand a second line"});
    journal.end_session(id, "2026-11-26T09:16:00.000Z", 60);
  }
  Journal again(folder.path(), Journal::Open::must_be_there);
  const auto record = again.session(id);
  CHECK(record.session.job == "bracket");
  CHECK(record.session.setup.material == "6082");
  CHECK(record.session.source == "built-in; \"odd\" name");
  CHECK(record.session.heard_s == 60);
  REQUIRE(record.cards.size() == 1);
  CHECK(record.cards[0].diameter_mm == 12);
  CHECK_FALSE(record.cards[0].radial_mm);
  CHECK(record.cards[0].milling == "climb");
  REQUIRE(record.events.size() == 1);
  CHECK(record.events[0].number == 1);
  REQUIRE(record.cuts.size() == 1);
  CHECK(record.cuts[0].end_s == 9.0);
  REQUIRE(record.episodes.size() == 1);
  CHECK(record.episodes[0].chatter_hz == 1370.25);
  CHECK(record.episodes[0].return_of == 1);
  REQUIRE(record.advice.size() == 1);
  CHECK(record.advice[0].first);
  CHECK(record.advice[0].spindle_rpm == 5180);
  REQUIRE(record.trials.size() == 1);
  CHECK(record.trials[0].outcome == "held");
  REQUIRE(record.taps.size() == 1);
  CHECK(record.taps[0].damping_ratio == 0.03);
  REQUIRE(record.notes.size() == 1);
  CHECK(record.notes[0].text.find("second line") != std::string::npos);
  CHECK(again.integrity() == "ok");
  CHECK_THROWS_AS(again.session(77), journal::BadJournal);
}

TEST_CASE("sessions are found by words in job, set-up and notes, newest first; signs of SQL mean themselves") {
  const test::TemporaryFolder folder;
  Journal journal(folder.path());
  const auto a = journal.begin_session(session_of("bracket", "6082"));
  const auto b = journal.begin_session(session_of("tray 100%", "titanium"));
  journal.add(a, journal::NoteRow{{}, "", "worn insert"});
  REQUIRE(journal.sessions().size() == 2);
  CHECK(journal.sessions().front().session.id == b);
  CHECK(journal.sessions("titan").size() == 1);
  CHECK(journal.sessions("WORN").size() == 1);
  CHECK(journal.sessions("100%").size() == 1);
  CHECK(journal.sessions("1_0").empty());
  CHECK(journal.sessions("'; DROP TABLE session; --").empty());
  CHECK(journal.sessions({}, 1).size() == 1);
}

TEST_CASE("all of a batch is kept or nothing") {
  const test::TemporaryFolder folder;
  Journal journal(folder.path());
  const auto id = journal.begin_session(session_of("", ""));
  CHECK_THROWS(journal.together([&] {
    journal.add(id, journal::NoteRow{{}, "", "one"});
    throw std::runtime_error("half way");
  }));
  CHECK(journal.session(id).notes.empty());
  CHECK_THROWS_AS(journal.add(999, journal::NoteRow{{}, "", "of no session"}), journal::JournalFailed);
}

TEST_CASE("a job has its tools in order of their numbers, and each number once") {
  const test::TemporaryFolder folder;
  Journal journal(folder.path());
  journal.add_tool("bracket", {.number = 7, .name = "drill", .flutes = 2});
  journal.add_tool("bracket", {.number = 3, .name = "endmill", .flutes = 4, .diameter_mm = 12, .max_rpm = 12000});
  journal.add_tool("bracket", {.number = 7, .name = "ball nose", .flutes = 2});
  const auto tools = journal.tools("bracket");
  REQUIRE(tools.size() == 2);
  CHECK(tools[0].name == "endmill");
  CHECK(tools[0].max_rpm == 12000);
  CHECK(tools[1].name == "ball nose");
  CHECK(journal.tools("no such job").empty());
}

TEST_CASE("recordings are pruned by the stated rule alone, oldest first, and never what is pinned") {
  const test::TemporaryFolder folder;
  Journal journal(folder.path());
  const auto id = journal.begin_session(session_of("", ""));
  const auto now = journal::moment_of("2026-11-26T12:00:00.000Z");
  std::vector<std::int64_t> numbers;
  for (const char* day : {"01", "05", "20", "25"}) {
    const std::string path = std::string("recordings/") + day + ".wav";
    make_file(folder / path, 300 * 1024 * 1024 / 1024);
    numbers.push_back(journal.add(id, recording_of(path, std::string("2026-11-") + day + "T12:00:00.000Z")));
  }
  make_file(folder / "own.wav", 100);
  auto listened = recording_of((folder / "own.wav").string(), "2025-01-01T00:00:00.000Z");
  listened.kind = "listened";
  journal.add(id, listened);

  CHECK(journal.prune_rule().empty());
  CHECK(journal.prunable({}, now).empty());
  journal.pin(numbers[0], true);
  const auto old = journal.prunable({.older_than_days = 10, .above_gib = {}}, now);
  REQUIRE(old.size() == 1);
  CHECK(old[0].id == numbers[1]);
  const double two = 2.5 * 300 * 1024 / (1024.0 * 1024 * 1024);  // room for two and a half of the four
  const auto large = journal.prunable({.older_than_days = {}, .above_gib = two}, now);
  REQUIRE(large.size() == 2);
  CHECK(large[0].id == numbers[1]);
  CHECK(large[1].id == numbers[2]);

  journal.set_prune_rule({.older_than_days = 10, .above_gib = {}});
  CHECK(journal.prune_rule().older_than_days == 10);
  journal.delete_recording(old[0]);
  CHECK_FALSE(std::filesystem::exists(folder / "recordings/05.wav"));
  CHECK(std::filesystem::exists(folder / "recordings/01.wav"));
  CHECK(std::filesystem::exists(folder / "own.wav"));
  CHECK(journal.recordings().size() == 4);
  CHECK_THROWS_AS(journal.pin(999, true), journal::BadJournal);
}

TEST_CASE("a journal from elsewhere cannot name files outside of its folder to be deleted") {
  const test::TemporaryFolder folder;
  make_file(folder / "own.txt", 10);
  Journal journal(folder / "kept");
  const auto id = journal.begin_session(session_of("", ""));
  const auto now = journal::moment_of("2026-11-26T12:00:00.000Z");
  for (const std::string& path : {(folder / "own.txt").string(), std::string("../own.txt"), std::string("recordings/../../own.txt"), std::string("recordings"), std::string()}) {
    CAPTURE(path);
    auto row = recording_of(path, "2025-01-01T00:00:00.000Z");
    row.id = journal.add(id, row);
    CHECK(journal.prunable({.older_than_days = 1, .above_gib = {}}, now).empty());
    CHECK_THROWS_AS(journal.delete_recording(row), journal::BadJournal);
    CHECK(std::filesystem::exists(folder / "own.txt"));
  }
}

TEST_CASE("a journal with views or triggers of somebody else's making is refused before one of its tables is read") {
  // The view would give rows without an end.
  for (const char* foreign : {"ALTER TABLE note RENAME TO other; CREATE VIEW note AS WITH RECURSIVE n(id) AS (SELECT 1 UNION ALL SELECT id + 1 FROM n) "
                              "SELECT id, 1 AS session_id, 0 AS t_s, '' AS utc, '' AS text FROM n",
                              "CREATE TRIGGER odd AFTER INSERT ON session BEGIN DELETE FROM session; END"}) {
    const test::TemporaryFolder folder;
    { const Journal journal(folder.path()); }
    journal::Database(journal::journal_file(folder.path()), false).run(foreign);
    try {
      const Journal journal(folder.path());
      FAIL("taken");
    } catch (const journal::BadJournal& refused) {
      CHECK_THAT(refused.what(), test::Contains("which Hushmill did not make") && test::Contains("would be right"));
    }
  }
}

TEST_CASE("numbers that nobody can have kept count as not kept") {
  const test::TemporaryFolder folder;
  Journal journal(folder.path());
  const auto id = journal.begin_session(session_of("", ""));
  journal::Database other(journal::journal_file(folder.path()), false);
  other.change("UPDATE session SET heard_s = 1e308, utc_offset_min = 9e18, sample_rate_hz = 'fast'", {});
  other.change("INSERT INTO card(session_id, t_s, programmed_rpm, override_percent, entered_rpm, flutes, unequal_pitch) VALUES (?, -1e999, 1e300, 90, 5400, 9223372036854775807, 0.5)", {id});
  other.change("INSERT INTO event(session_id, t_s, utc, kind, number) VALUES (?, 1, '', 'two\nlines', -1e19)", {id});
  const auto record = journal.session(id);
  CHECK_FALSE(record.session.heard_s);
  CHECK(record.session.utc_offset_min == 0);
  CHECK(record.session.sample_rate_hz == 0);
  REQUIRE(record.cards.size() == 1);
  CHECK(record.cards[0].t_s == 0);
  CHECK(record.cards[0].programmed_rpm == 0);
  CHECK(record.cards[0].override_percent == 90);
  CHECK(record.cards[0].flutes == 0);
  REQUIRE(record.events.size() == 1);
  CHECK_FALSE(record.events[0].number);
}

TEST_CASE("every table can be taken out by name, of one session or of all") {
  const test::TemporaryFolder folder;
  Journal journal(folder.path());
  const auto a = journal.begin_session(session_of("bracket", "6082"));
  journal.begin_session(session_of("tray", ""));
  for (const std::string& name : Journal::table_names()) {
    CAPTURE(name);
    CHECK_FALSE(journal.table(name, std::nullopt).columns.empty());
    CHECK(journal.table(name, a).rows.size() <= 1);
  }
  CHECK(journal.table("sessions", std::nullopt).rows.size() == 2);
  CHECK(journal.table("jobs", a).rows.size() == 1);
  CHECK_THROWS_AS(journal.table("session; DROP TABLE session", a), journal::BadJournal);
}

TEST_CASE("the number of a deleted session or recording is never given again, and a number finds its session") {
  const test::TemporaryFolder folder;
  journal::RecordingRow recording{.path = "recordings/a.wav", .kind = "session"};
  {
    Journal journal(folder.path());
    const auto first = journal.begin_session(session_of("bracket", "7075"));
    const auto second = journal.begin_session(session_of("bracket", "7075"));
    CHECK(journal.add(second, recording) == 1);
    journal.delete_session(second);
    CHECK(second == first + 1);
  }
  Journal journal(folder.path());
  const auto third = journal.begin_session(session_of("tray", "7075"));
  CHECK(third == 3);
  CHECK(journal.add(third, recording) == 2);
  REQUIRE(journal.sessions("3").size() == 1);
  CHECK(journal.sessions("3").front().session.job == "tray");
  CHECK(journal.sessions("2").size() == 2);  // a word of both, "mill 2", and no number any more
}

TEST_CASE("sound in the folder of recordings that no row knows is found, what a row knows is not") {
  const test::TemporaryFolder folder;
  Journal journal(folder.path());
  CHECK(journal::strays(journal).empty());
  journal.add(journal.begin_session(session_of("bracket", "")), journal::RecordingRow{.path = "recordings/known.wav", .kind = "session"});
  std::filesystem::create_directory(folder.path() / "recordings");
  for (const char* name : {"known.wav", "known.flac", "lost.wav", "note.txt"}) std::ofstream(folder.path() / "recordings" / name) << "sound";
  const auto found = journal::strays(journal);
  REQUIRE(found.size() == 1);
  CHECK(found.front().path == "recordings/lost.wav");
  CHECK(found.front().bytes == 5);
}
