#include "journal/journal.hpp"

#include <iterator>

#include "journal/errors.hpp"
#include "journal/folders.hpp"
#include "journal/schema.hpp"

namespace hushmill::journal {
namespace {

Database opened(const std::filesystem::path& folder, Journal::Open how) {
  const auto file = journal_file(folder);
  const auto version = checked_version(file);
  if (how == Journal::Open::must_be_there && !version) {
    throw BadJournal("no journal in '" + folder.string() + "'; a folder in which Hushmill kept one would be right");
  }
  make_private_folder(folder);
  make_private_file(file);
  // New ones get the rights of the journal itself (SQLite's own habit); these may be left from a crash.
  for (const char* ending : {"-wal", "-shm"}) {
    if (const auto beside = std::filesystem::path(file.string() + ending); std::filesystem::exists(beside)) make_private_file(beside);
  }
  Database database(file, false);
  check_tables(database, file);
  // The log makes a commit one write and one sync; FULL keeps it through a power cut.
  database.run("PRAGMA journal_mode = WAL; PRAGMA synchronous = FULL; PRAGMA foreign_keys = ON");
  migrate(database, newest_version());
  return database;
}

std::string questions(std::size_t count) {
  std::string text = "(?";
  for (std::size_t i = 1; i < count; ++i) text += ",?";
  return text + ")";
}

// The first value is a number that was never given before.
std::string numbered(const std::string& what, std::size_t more) {
  return "((SELECT number + 1 FROM last_number WHERE what = '" + what + "')," + questions(more).substr(1);
}

}  // namespace

Journal::Journal(const std::filesystem::path& folder, Open how) : folder_(folder), database_(opened(folder, how)) {}

void Journal::together(const std::function<void()>& work) {
  Transaction all(database_);
  work();
  all.commit();
}

std::int64_t Journal::job_number(const std::string& name) {
  database_.change("INSERT OR IGNORE INTO job(name, created_utc) VALUES (?, ?)",
                   {name, utc_text(std::chrono::system_clock::now())});
  return std::get<std::int64_t>(database_.value("SELECT id FROM job WHERE name = ?", {name}));
}

std::int64_t Journal::begin_session(const SessionRow& s) {
  std::int64_t id = 0;
  together([&] {
    std::optional<std::int64_t> job, setup;
    if (!s.job.empty()) job = job_number(s.job);
    if (!s.setup.empty()) {
      setup = database_.insert(
          "INSERT INTO setup(job_id, machine, tool, hold, material, depth_mm, radial_mm) VALUES " + questions(7),
          {value_of(job), text_or_null(s.setup.machine), text_or_null(s.setup.tool), text_or_null(s.setup.hold),
           text_or_null(s.setup.material), value_of(s.setup.depth_mm), value_of(s.setup.radial_mm)});
    }
    id = database_.insert(
        "INSERT INTO session(id, started_utc, utc_offset_min, source_kind, source, sample_rate_hz, program_version, settings, "
        "job_id, setup_id) VALUES " + numbered("session", 9),
        {s.started_utc, static_cast<std::int64_t>(s.utc_offset_min), s.source_kind, s.source, s.sample_rate_hz,
         s.program_version, s.settings, value_of(job), value_of(setup)});
  });
  return id;
}

void Journal::note_heard(std::int64_t session, double heard_s) {
  database_.change("UPDATE session SET heard_s = ? WHERE id = ?", {heard_s, session});
}

void Journal::end_session(std::int64_t session, const std::string& ended_utc, double heard_s) {
  database_.change("UPDATE session SET ended_utc = ?, heard_s = ? WHERE id = ?", {ended_utc, heard_s, session});
}

void Journal::add(std::int64_t session, const CardRow& c) {
  database_.insert(
      "INSERT INTO card(session_id, t_s, programmed_rpm, override_percent, entered_rpm, flutes, diameter_mm, radial_mm, "
      "depth_mm, milling, feed_mm_min, min_rpm, max_rpm, tool_max_rpm, knob_step_percent, damping_ratio, pitch_pattern_teeth, "
      "unequal_pitch, knob_least_percent, knob_most_percent) VALUES " +
          questions(20),
      {session, c.t_s, c.programmed_rpm, c.override_percent, c.entered_rpm, c.flutes, value_of(c.diameter_mm),
       value_of(c.radial_mm), value_of(c.depth_mm), text_or_null(c.milling), value_of(c.feed_mm_min), value_of(c.min_rpm),
       value_of(c.max_rpm), value_of(c.tool_max_rpm), value_of(c.knob_step_percent), value_of(c.damping_ratio),
       c.pitch_pattern_teeth, static_cast<std::int64_t>(c.unequal_pitch ? 1 : 0), value_of(c.knob_least_percent), value_of(c.knob_most_percent)});
}

void Journal::add(std::int64_t session, const EventRow& e) {
  database_.insert("INSERT INTO event(session_id, t_s, utc, kind, number, hz, text) VALUES " + questions(7),
                   {session, e.t_s, e.utc, e.kind, value_of(e.number), value_of(e.hz), text_or_null(e.text)});
}

void Journal::put(std::int64_t session, const CutRow& c) {
  database_.change("INSERT OR REPLACE INTO cut(session_id, number, start_s, end_s) VALUES " + questions(4),
                   {session, c.number, c.start_s, value_of(c.end_s)});
}

void Journal::put(std::int64_t session, const EpisodeRow& e) {
  database_.change(
      "INSERT OR REPLACE INTO episode(session_id, number, start_s, alert_s, end_s, open, chatter_hz, kind, peak_dbfs, "
      "chatter_share, confidence, return_of, entered_rpm, measured_rpm) VALUES " + questions(14),
      {session, e.number, e.start_s, e.alert_s, e.end_s, static_cast<std::int64_t>(e.open), e.chatter_hz, e.kind,
       e.peak_dbfs, e.chatter_share, e.confidence, value_of(e.return_of), e.entered_rpm, value_of(e.measured_rpm)});
}

void Journal::put(std::int64_t session, const TrialRow& t) {
  database_.change(
      "INSERT OR REPLACE INTO trial(session_id, number, from_s, to_s, spindle_rpm, programmed_rpm, outcome, quiet_s, "
      "chatter_hz, before_dbfs, after_dbfs, feed_mm_min, text) VALUES " + questions(13),
      {session, t.number, t.from_s, t.to_s, t.spindle_rpm, value_of(t.programmed_rpm), t.outcome, value_of(t.quiet_s),
       value_of(t.chatter_hz), value_of(t.before_dbfs), value_of(t.after_dbfs), value_of(t.feed_mm_min),
       text_or_null(t.text)});
}

void Journal::put_speeds(std::int64_t session, const std::vector<SpeedRow>& speeds) {
  database_.change("DELETE FROM speed WHERE session_id = ?", {session});
  for (const SpeedRow& s : speeds)
    database_.insert("INSERT INTO speed(session_id, spindle_rpm, place, outcome, quiet_s, chatter_s, holds_everywhere) VALUES " + questions(7),
                     {session, s.spindle_rpm, text_or_null(s.place), s.outcome, value_of(s.quiet_s), value_of(s.chatter_s),
                      static_cast<std::int64_t>(s.holds_everywhere)});
}

void Journal::put_advice(std::int64_t session, std::int64_t episode_number, const std::vector<AdviceRow>& advice) {
  if (!advice.empty()) database_.change("DELETE FROM advice WHERE session_id = ? AND episode_number = ? AND t_s = ?", {session, episode_number, advice.front().t_s});
  for (const AdviceRow& a : advice) {
    database_.insert(
        "INSERT INTO advice(session_id, episode_number, t_s, direction, first, spindle_rpm, feed_mm_min, "
        "override_percent, knob_percent, likelihood, text) VALUES " + questions(11),
        {session, episode_number, a.t_s, a.direction, static_cast<std::int64_t>(a.first), value_of(a.spindle_rpm),
         value_of(a.feed_mm_min), value_of(a.override_percent), value_of(a.knob_percent), value_of(a.likelihood),
         text_or_null(a.text)});
  }
}

void Journal::put_taps(std::int64_t session, const std::vector<TapRow>& taps) {
  database_.change("DELETE FROM tap WHERE session_id = ?", {session});
  for (const TapRow& t : taps)
    database_.insert(
        "INSERT INTO tap(session_id, utc, of_part, hz, hz_deviation, damping_ratio, damping_deviation, taps, of_machine) VALUES " + questions(9),
        {session, t.utc, static_cast<std::int64_t>(t.of_part), t.hz, value_of(t.hz_deviation), value_of(t.damping_ratio),
         value_of(t.damping_deviation), t.taps, static_cast<std::int64_t>(t.of_machine)});
}

void Journal::add(std::int64_t session, const NoteRow& n) {
  database_.insert("INSERT INTO note(session_id, t_s, utc, text) VALUES " + questions(4),
                   {session, value_of(n.t_s), n.utc, n.text});
}

std::int64_t Journal::add(std::int64_t session, const RecordingRow& r) {
  return database_.insert(
      "INSERT INTO recording(id, session_id, path, kind, sha256, from_s, to_s, sample_rate_hz, bytes, missing_samples, "
      "pinned, started_utc) VALUES " + numbered("recording", 11),
      {session, r.path, r.kind, text_or_null(r.sha256), r.from_s, value_of(r.to_s), r.sample_rate_hz, value_of(r.bytes),
       r.missing_samples, static_cast<std::int64_t>(r.pinned), r.started_utc});
}

void Journal::update(const RecordingRow& r) {
  database_.change("UPDATE recording SET path = ?, sha256 = ?, from_s = ?, to_s = ?, bytes = ?, missing_samples = ? WHERE id = ?",
                   {r.path, text_or_null(r.sha256), r.from_s, value_of(r.to_s), value_of(r.bytes), r.missing_samples, r.id});
}

void Journal::forget_recording(std::int64_t recording) {
  database_.change("DELETE FROM recording WHERE id = ?", {recording});
}

void Journal::pin(std::int64_t recording, bool pinned) {
  if (database_.change("UPDATE recording SET pinned = ? WHERE id = ?", {static_cast<std::int64_t>(pinned), recording}) == 0) {
    throw BadJournal("the journal has no recording " + std::to_string(recording) + "; a number from hushmill journal list --recordings would be right");
  }
}

void Journal::add_tool(const std::string& job, const ToolRow& tool) {
  together([&] {
    database_.change(
        "INSERT OR REPLACE INTO tool(job_id, number, name, flutes, diameter_mm, max_rpm) VALUES " + questions(6),
        {job_number(job), tool.number, tool.name, tool.flutes, value_of(tool.diameter_mm), value_of(tool.max_rpm)});
  });
}

void Journal::delete_session(std::int64_t session) {
  if (database_.change("DELETE FROM session WHERE id = ?", {session}) == 0) {
    throw BadJournal("the journal has no session " + std::to_string(session) + "; a number from hushmill journal list would be right");
  }
}

void Journal::set_prune_rule(const PruneRule& rule) {
  together([&] {
    for (const auto& [key, value] : {std::pair{"prune_older_than_days", rule.older_than_days}, {"prune_above_gib", rule.above_gib}}) {
      if (value) {
        database_.change("INSERT OR REPLACE INTO setting(key, value) VALUES (?, ?)", {std::string(key), std::to_string(*value)});
      } else {
        database_.change("DELETE FROM setting WHERE key = ?", {std::string(key)});
      }
    }
  });
}

bool Journal::is_ours(const RecordingRow& recording) {
  const auto path = std::filesystem::path(recording.path).lexically_normal();
  return path.has_filename() && path.begin() != path.end() && *path.begin() == kRecordings && std::next(path.begin()) != path.end();
}

void Journal::delete_recording(const RecordingRow& recording) {
  // A file that was listened to belongs to the person, wherever it lies: only its row goes.
  if (recording.kind != "listened") {
    if (!is_ours(recording))
      throw BadJournal("recording " + std::to_string(recording.id) + ", '" + recording.path + "', lies outside of the journal's folder and is not deleted; one below " +
                       std::string(kRecordings) + " would be right");
    std::error_code error;
    std::filesystem::remove(path_of(recording), error);
    if (error) throw JournalFailed("recording '" + path_of(recording).string() + "' cannot be deleted: " + error.message());
  }
  forget_recording(recording.id);
}

}  // namespace hushmill::journal
