// The journal: what was heard, done and kept, in one SQLite file that is the user's alone.
//
// Opening makes the folder and the file if asked to, and brings an older file up to date; a newer one is refused and
// left untouched (BadJournal). Writing throws JournalFailed (full disk) and leaves the file as it was. Every call that
// writes is committed to the disk when it returns, or with the Batch around it. One thread at a time; other programs
// may read and write the same file meanwhile. Never from the audio or listening thread.
#pragma once

#include <filesystem>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "journal/database.hpp"
#include "journal/records.hpp"
#include "journal/utc.hpp"

namespace hushmill::journal {

class Journal {
 public:
  enum class Open { make_if_missing, must_be_there };
  explicit Journal(const std::filesystem::path& folder, Open how = Open::make_if_missing);

  const std::filesystem::path& folder() const noexcept { return folder_; }

  /// Runs `work` as one transaction: all of it is kept or nothing.
  void together(const std::function<void()>& work);

  // Writing. A row with a number that is there already takes its place.
  std::int64_t begin_session(const SessionRow& session);
  /// How long was listened so far, of a session that goes on.
  void note_heard(std::int64_t session, double heard_s);
  void end_session(std::int64_t session, const std::string& ended_utc, double heard_s);
  void add(std::int64_t session, const CardRow& card);
  void add(std::int64_t session, const EventRow& event);
  void put(std::int64_t session, const CutRow& cut);
  void put(std::int64_t session, const EpisodeRow& episode);
  void put(std::int64_t session, const TrialRow& trial);
  /// Replaces the session's table of speeds.
  void put_speeds(std::int64_t session, const std::vector<SpeedRow>& speeds);
  /// Replaces what was advised for that episode at that moment; what was advised before stays.
  void put_advice(std::int64_t session, std::int64_t episode_number, const std::vector<AdviceRow>& advice);
  /// Replaces the modes that were known by tapping.
  void put_taps(std::int64_t session, const std::vector<TapRow>& taps);
  void add(std::int64_t session, const NoteRow& note);
  /// Returns the recording's number.
  std::int64_t add(std::int64_t session, const RecordingRow& recording);
  /// Takes over all but session and start.
  void update(const RecordingRow& recording);
  void forget_recording(std::int64_t recording);
  void pin(std::int64_t recording, bool pinned);
  void add_tool(const std::string& job, const ToolRow& tool);
  /// Also what hangs on it; the files of its recordings stay. Throws BadJournal when there is none.
  void delete_session(std::int64_t session);

  // Reading.
  /// Newest first; `words` must occur in job, set-up, source or notes, or be its number; empty: all.
  std::vector<SessionLine> sessions(const std::string& words = {}, std::size_t most = 1000000);
  /// Throws BadJournal when there is none of that number.
  SessionRecord session(std::int64_t session);
  std::vector<ToolRow> tools(const std::string& job);
  /// Newest first.
  std::vector<RecordingRow> recordings();
  /// A table as it is, of one session or of all. Throws BadJournal for a name that is none of table_names().
  Table table(const std::string& name, std::optional<std::int64_t> session);
  static const std::vector<std::string>& table_names();
  /// SQLite's own check of the whole file: "ok".
  std::string integrity();

  PruneRule prune_rule();
  void set_prune_rule(const PruneRule& rule);
  /// What the rule would let go now, oldest first.
  std::vector<RecordingRow> prunable(const PruneRule& rule, Moment now);
  /// Deletes the file, then the row. Throws JournalFailed when the file cannot be deleted, and BadJournal when it is not below the folder of
  /// recordings: a file that a journal from elsewhere names is not ours to delete.
  void delete_recording(const RecordingRow& recording);
  std::filesystem::path path_of(const RecordingRow& recording) const { return folder_ / recording.path; }

 private:
  std::int64_t job_number(const std::string& name);
  static bool is_ours(const RecordingRow& recording);

  std::filesystem::path folder_;
  Database database_;
};

}  // namespace hushmill::journal
