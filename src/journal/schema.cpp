#include "journal/schema.hpp"

#include <array>
#include <fstream>
#include <string>

#include "journal/errors.hpp"

namespace hushmill::journal {
namespace {

// What one session of listening heard and kept.
constexpr const char* kSessions = R"sql(
CREATE TABLE session(
  id INTEGER PRIMARY KEY,
  started_utc TEXT NOT NULL, utc_offset_min INTEGER NOT NULL,
  ended_utc TEXT, heard_s REAL,
  source_kind TEXT NOT NULL, source TEXT NOT NULL, sample_rate_hz REAL NOT NULL,
  program_version TEXT NOT NULL, settings TEXT NOT NULL);
CREATE TABLE card(
  id INTEGER PRIMARY KEY, session_id INTEGER NOT NULL REFERENCES session(id) ON DELETE CASCADE, t_s REAL NOT NULL,
  programmed_rpm REAL NOT NULL, override_percent REAL NOT NULL, entered_rpm REAL NOT NULL, flutes INTEGER NOT NULL,
  diameter_mm REAL, radial_mm REAL, depth_mm REAL, milling TEXT, feed_mm_min REAL,
  min_rpm REAL, max_rpm REAL, tool_max_rpm REAL, knob_step_percent REAL, damping_ratio REAL);
CREATE TABLE event(
  id INTEGER PRIMARY KEY, session_id INTEGER NOT NULL REFERENCES session(id) ON DELETE CASCADE,
  t_s REAL NOT NULL, utc TEXT NOT NULL, kind TEXT NOT NULL, number INTEGER, hz REAL, text TEXT);
CREATE TABLE cut(
  id INTEGER PRIMARY KEY, session_id INTEGER NOT NULL REFERENCES session(id) ON DELETE CASCADE,
  number INTEGER NOT NULL, start_s REAL NOT NULL, end_s REAL, UNIQUE(session_id, number));
CREATE TABLE episode(
  id INTEGER PRIMARY KEY, session_id INTEGER NOT NULL REFERENCES session(id) ON DELETE CASCADE,
  number INTEGER NOT NULL, start_s REAL NOT NULL, alert_s REAL NOT NULL, end_s REAL NOT NULL, open INTEGER NOT NULL,
  chatter_hz REAL NOT NULL, kind TEXT NOT NULL, peak_dbfs REAL, chatter_share REAL, confidence REAL, return_of INTEGER,
  entered_rpm REAL NOT NULL, measured_rpm REAL, UNIQUE(session_id, number));
CREATE TABLE advice(
  id INTEGER PRIMARY KEY, session_id INTEGER NOT NULL REFERENCES session(id) ON DELETE CASCADE,
  episode_number INTEGER NOT NULL, t_s REAL NOT NULL, direction TEXT NOT NULL, first INTEGER NOT NULL,
  spindle_rpm REAL, feed_mm_min REAL, override_percent REAL, knob_percent REAL, likelihood REAL, text TEXT);
CREATE TABLE note(
  id INTEGER PRIMARY KEY, session_id INTEGER NOT NULL REFERENCES session(id) ON DELETE CASCADE,
  t_s REAL, utc TEXT NOT NULL, text TEXT NOT NULL);
CREATE TABLE recording(
  id INTEGER PRIMARY KEY, session_id INTEGER NOT NULL REFERENCES session(id) ON DELETE CASCADE,
  path TEXT NOT NULL, kind TEXT NOT NULL, sha256 TEXT, from_s REAL NOT NULL, to_s REAL, sample_rate_hz REAL NOT NULL,
  bytes INTEGER, missing_samples INTEGER NOT NULL DEFAULT 0, pinned INTEGER NOT NULL DEFAULT 0, started_utc TEXT NOT NULL);
CREATE TABLE setting(key TEXT PRIMARY KEY, value TEXT NOT NULL);
CREATE INDEX event_of ON event(session_id);
CREATE INDEX card_of ON card(session_id);
CREATE INDEX advice_of ON advice(session_id, episode_number);
CREATE INDEX recording_of ON recording(session_id);
)sql";

// Jobs with their tools and set-ups; what was tried, and what taps found.
constexpr const char* kJobs = R"sql(
CREATE TABLE job(id INTEGER PRIMARY KEY, name TEXT NOT NULL UNIQUE, created_utc TEXT NOT NULL);
CREATE TABLE tool(
  id INTEGER PRIMARY KEY, job_id INTEGER NOT NULL REFERENCES job(id) ON DELETE CASCADE,
  number INTEGER NOT NULL, name TEXT NOT NULL, flutes INTEGER NOT NULL, diameter_mm REAL, max_rpm REAL,
  UNIQUE(job_id, number));
CREATE TABLE setup(
  id INTEGER PRIMARY KEY, job_id INTEGER REFERENCES job(id) ON DELETE CASCADE,
  machine TEXT, tool TEXT, hold TEXT, material TEXT, depth_mm REAL, radial_mm REAL);
ALTER TABLE session ADD COLUMN job_id INTEGER REFERENCES job(id) ON DELETE SET NULL;
ALTER TABLE session ADD COLUMN setup_id INTEGER REFERENCES setup(id) ON DELETE SET NULL;
CREATE TABLE trial(
  id INTEGER PRIMARY KEY, session_id INTEGER NOT NULL REFERENCES session(id) ON DELETE CASCADE,
  number INTEGER NOT NULL, from_s REAL NOT NULL, to_s REAL NOT NULL, spindle_rpm REAL NOT NULL, programmed_rpm REAL,
  outcome TEXT NOT NULL, quiet_s REAL, chatter_hz REAL, before_dbfs REAL, after_dbfs REAL, feed_mm_min REAL, text TEXT,
  UNIQUE(session_id, number));
CREATE TABLE tap(
  id INTEGER PRIMARY KEY, session_id INTEGER REFERENCES session(id) ON DELETE CASCADE,
  job_id INTEGER REFERENCES job(id) ON DELETE CASCADE, utc TEXT NOT NULL, of_part INTEGER NOT NULL,
  hz REAL NOT NULL, hz_deviation REAL, damping_ratio REAL, damping_deviation REAL, taps INTEGER);
)sql";

// What a replay needs of a cutter of unequal pitch.
constexpr const char* kPitch = R"sql(
ALTER TABLE card ADD COLUMN pitch_pattern_teeth INTEGER NOT NULL DEFAULT 1;
ALTER TABLE card ADD COLUMN unequal_pitch INTEGER NOT NULL DEFAULT 0;
)sql";

// Which speed held where.
constexpr const char* kSpeeds = R"sql(
CREATE TABLE speed(
  id INTEGER PRIMARY KEY, session_id INTEGER NOT NULL REFERENCES session(id) ON DELETE CASCADE,
  spindle_rpm REAL NOT NULL, place TEXT, outcome TEXT NOT NULL, quiet_s REAL, chatter_s REAL, holds_everywhere INTEGER NOT NULL);
)sql";

// How far the override knob turns, and what was tapped on the machine.
constexpr const char* kKnob = R"sql(
ALTER TABLE card ADD COLUMN knob_least_percent REAL;
ALTER TABLE card ADD COLUMN knob_most_percent REAL;
ALTER TABLE tap ADD COLUMN of_machine INTEGER NOT NULL DEFAULT 0;
)sql";

// Numbers that are never given twice: a deleted session's number in an old report must not mean another one.
constexpr const char* kNumbers = R"sql(
CREATE TABLE last_number(what TEXT PRIMARY KEY, number INTEGER NOT NULL);
INSERT INTO last_number SELECT 'session', coalesce(max(id), 0) FROM session;
INSERT INTO last_number SELECT 'recording', coalesce(max(id), 0) FROM recording;
CREATE TRIGGER session_numbered AFTER INSERT ON session BEGIN
  UPDATE last_number SET number = max(number, NEW.id) WHERE what = 'session'; END;
CREATE TRIGGER recording_numbered AFTER INSERT ON recording BEGIN
  UPDATE last_number SET number = max(number, NEW.id) WHERE what = 'recording'; END;
)sql";

constexpr std::array kSteps{kSessions, kJobs, kPitch, kSpeeds, kKnob, kNumbers};

// Where things stand in a database's first hundred bytes: Database File Format, SQLite documentation, section 1.3.
constexpr std::string_view kMagic{"SQLite format 3\0", 16};
constexpr std::size_t kVersionAt = 60;
constexpr std::size_t kApplicationAt = 68;
constexpr std::size_t kHeaderBytes = 100;

std::int64_t big_endian(const std::string& bytes, std::size_t at) {
  std::int64_t value = 0;
  for (std::size_t i = 0; i < 4; ++i) value = value * 256 + static_cast<unsigned char>(bytes[at + i]);
  return value;
}

}  // namespace

std::int64_t newest_version() noexcept { return static_cast<std::int64_t>(kSteps.size()); }

std::optional<std::int64_t> checked_version(const std::filesystem::path& file) {
  std::error_code error;
  if (!std::filesystem::exists(file, error) || std::filesystem::file_size(file, error) == 0) return std::nullopt;
  const std::string name = "journal '" + file.string() + "'";
  std::string header(kHeaderBytes, '\0');
  std::ifstream in(file, std::ios::binary);
  if (!in) throw JournalFailed(name + " may not be read; a file with read permission would be right");
  in.read(header.data(), static_cast<std::streamsize>(header.size()));
  const bool whole = in.gcount() == static_cast<std::streamsize>(kHeaderBytes);
  if (!whole || header.compare(0, kMagic.size(), kMagic) != 0) {
    throw BadJournal(name + " is no journal of Hushmill; one that it made itself would be right");
  }
  const std::int64_t version = big_endian(header, kVersionAt);
  const std::int64_t application = big_endian(header, kApplicationAt);
  if (application == 0 && version == 0) return 0;  // made, and ended before its first tables
  if (application != kApplicationId) {
    throw BadJournal(name + " belongs to another program; one that Hushmill made itself would be right");
  }
  if (version > newest_version()) {
    throw BadJournal(name + " is of version " + std::to_string(version) + ", made by a newer Hushmill; version " +
                     std::to_string(newest_version()) + " or older would be right (nothing was touched)");
  }
  return version;
}

void check_tables(Database& database, const std::filesystem::path& file) {
  const Value found = database.value(
      "SELECT name FROM sqlite_schema WHERE type = 'view' OR (type = 'table' AND rootpage = 0) OR "
      "(type = 'trigger' AND name NOT IN ('session_numbered', 'recording_numbered'))");
  if (const auto* name = std::get_if<std::string>(&found))
    throw BadJournal("journal '" + file.string() + "' holds '" + name->substr(0, 60) + "', which Hushmill did not make; one that it made itself would be right");
}

void migrate(Database& database, std::int64_t to_version) {
  database.run("PRAGMA application_id = " + std::to_string(kApplicationId));
  auto version = std::get<std::int64_t>(database.value("PRAGMA user_version"));
  if (version > newest_version()) {  // the header was older than the write-ahead log
    throw BadJournal("the journal is of version " + std::to_string(version) + ", made by a newer Hushmill; version " +
                     std::to_string(newest_version()) + " or older would be right");
  }
  bool moved = false;
  while (version < to_version) {
    Transaction step(database);
    // Another window may have been faster.
    version = std::get<std::int64_t>(database.value("PRAGMA user_version"));
    if (version < to_version) {
      database.run(kSteps[static_cast<std::size_t>(version)]);
      database.run("PRAGMA user_version = " + std::to_string(++version));
    }
    step.commit();
    moved = true;
  }
  // Into the file itself, where checked_version() looks.
  if (moved) database.run("PRAGMA wal_checkpoint(TRUNCATE)");
}

}  // namespace hushmill::journal
