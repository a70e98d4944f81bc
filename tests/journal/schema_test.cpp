// Versions, strangers and damage: the journal is brought up to date or left alone, and says which.
#include "journal/schema.hpp"

#include <algorithm>

#include "journal/errors.hpp"
#include "journal/folders.hpp"
#include "journal/journal.hpp"
#include "support/catch.hpp"
#include "support/temporary_folder.hpp"

using namespace hushmill;
using journal::Journal;

namespace {

std::string refusal(const std::filesystem::path& folder) {
  try {
    const Journal opened(folder);
  } catch (const journal::BadJournal& bad) {
    return bad.what();
  }
  return "taken";
}

journal::SessionRow some_session() {
  journal::SessionRow session;
  session.started_utc = "2026-11-26T09:15:00.000Z";
  session.source_kind = "rig";
  session.source = "rig";
  session.sample_rate_hz = 48000;
  session.program_version = "0.1.0";
  return session;
}

}  // namespace

TEST_CASE("a journal of the first version is brought up to date and keeps its rows") {
  const test::TemporaryFolder folder;
  {
    journal::Database old(journal::journal_file(folder.path()), true);
    old.run("PRAGMA journal_mode = WAL");
    journal::migrate(old, 1);
    old.run(
        "INSERT INTO session(started_utc, utc_offset_min, source_kind, source, sample_rate_hz, program_version, settings) "
        "VALUES ('2026-01-02T03:04:05.000Z', 60, 'microphone', 'desk', 44100, '0.0.9', '')");
    old.run("INSERT INTO episode(session_id, number, start_s, alert_s, end_s, open, chatter_hz, kind, entered_rpm) VALUES "
            "(1, 1, 2.5, 2.6, 4.0, 0, 1370, 'hopf', 6000)");
    CHECK(std::get<std::int64_t>(old.value("PRAGMA user_version")) == 1);
  }
  Journal now(folder.path());
  const auto record = now.session(1);
  CHECK(record.session.source == "desk");
  CHECK(record.session.job.empty());
  REQUIRE(record.episodes.size() == 1);
  CHECK(record.episodes.front().chatter_hz == 1370);
  now.add_tool("bracket", {.number = 3, .name = "endmill 12", .flutes = 4});  // a table that the first version had not
  CHECK(now.tools("bracket").size() == 1);
  now.delete_session(1);
  CHECK(now.begin_session(some_session()) == 2);  // an old report means the other one
  CHECK(now.integrity() == "ok");
  CHECK(journal::checked_version(journal::journal_file(folder.path())) == journal::newest_version());
}

TEST_CASE("a journal of a newer version is refused in one line, and no byte is touched") {
  const test::TemporaryFolder folder;
  { Journal(folder.path()).begin_session(some_session()); }
  {
    journal::Database newer(journal::journal_file(folder.path()), false);
    newer.run("PRAGMA user_version = 99; PRAGMA wal_checkpoint(TRUNCATE)");
  }
  const auto before = test::file_bytes(journal::journal_file(folder.path()));
  const std::string text = refusal(folder.path());
  CHECK(text.find("version 99") != std::string::npos);
  CHECK(text.find("would be right") != std::string::npos);
  CHECK(text.find('\n') == std::string::npos);
  CHECK(test::file_bytes(journal::journal_file(folder.path())) == before);
  CHECK_FALSE(std::filesystem::exists(folder / "journal.sqlite-wal"));
}

TEST_CASE("what is no journal is refused and left alone") {
  const test::TemporaryFolder folder;
  const auto file = journal::journal_file(folder.path());
  const std::string words = "these are a person's own notes, not a journal, and they should stay as they are for ever and a day, please";
  test::write_bytes(file, {words.begin(), words.end()});
  CHECK(refusal(folder.path()).find("no journal of Hushmill") != std::string::npos);
  CHECK(test::file_bytes(file).size() == words.size());
  std::filesystem::remove(file);
  {
    journal::Database other(file, true);
    other.run("CREATE TABLE other(a); PRAGMA user_version = 1; PRAGMA application_id = 77");
  }
  CHECK(refusal(folder.path()).find("belongs to another program") != std::string::npos);
}

TEST_CASE("damage in the middle of a journal is a failure with a word, not a crash") {
  const test::TemporaryFolder folder;
  {
    Journal made(folder.path());
    for (int i = 0; i < 200; ++i) made.begin_session(some_session());
  }
  auto bytes = test::file_bytes(journal::journal_file(folder.path()));
  for (std::size_t i = 4096; i < bytes.size(); ++i) bytes[i] = static_cast<std::uint8_t>(i * 31);
  test::write_bytes(journal::journal_file(folder.path()), bytes);
  std::string text;
  try {
    Journal opened(folder.path());
    text = opened.integrity();
    CHECK(text != "ok");
    opened.sessions();
  } catch (const journal::JournalFailed& failure) {
    text = failure.what();
  }
  CHECK_FALSE(text.empty());
}

TEST_CASE("the journal is the user's alone") {
  const test::TemporaryFolder folder;
  Journal made(folder / "deep" / "down");
  made.begin_session(some_session());
  using std::filesystem::perms;
  const auto others = perms::group_all | perms::others_all;
  for (const auto& entry : std::filesystem::recursive_directory_iterator(folder / "deep" / "down")) {
    CAPTURE(entry.path());
    CHECK((entry.status().permissions() & others) == perms::none);
  }
  CHECK((std::filesystem::status(folder / "deep" / "down").permissions() & others) == perms::none);
}
