// What the journal keeps, as plain values. Times in seconds are times of the sound since the session began; moments
// are UTC text (utc.hpp). Numbers count from 1 as a person would.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace hushmill::journal {

struct ToolRow {
  std::int64_t number = 1;  ///< T word
  std::string name{};
  std::int64_t flutes = 0;
  std::optional<double> diameter_mm{}, max_rpm{};
};

struct SetupRow {
  std::string machine{}, tool{}, hold{}, material{};
  std::optional<double> depth_mm{}, radial_mm{};
  bool empty() const { return machine.empty() && tool.empty() && hold.empty() && material.empty(); }
};

struct SessionRow {
  std::int64_t id = 0;
  std::string started_utc{};
  int utc_offset_min = 0;
  std::string ended_utc{};          ///< empty: still on, or it ended without a word (a crash)
  std::optional<double> heard_s{};  ///< length of the sound
  std::string source_kind{}, source{};
  double sample_rate_hz = 0;
  std::string program_version{}, settings{};
  std::string job{};
  SetupRow setup;
};

struct CardRow {
  double t_s = 0;
  double programmed_rpm = 0, override_percent = 100, entered_rpm = 0;
  std::int64_t flutes = 0;
  std::optional<double> diameter_mm{}, radial_mm{}, depth_mm{};
  std::string milling{};
  std::optional<double> feed_mm_min{}, min_rpm{}, max_rpm{}, tool_max_rpm{}, knob_step_percent{}, damping_ratio{};
  std::int64_t pitch_pattern_teeth = 1;  ///< after how many teeth the pitch repeats itself
  bool unequal_pitch = false;
  std::optional<double> knob_least_percent{}, knob_most_percent{};  ///< as far as the knob turns
};

struct EventRow {
  double t_s = 0;
  std::string utc{}, kind{};
  std::optional<std::int64_t> number{};
  std::optional<double> hz{};
  std::string text{};
};

struct CutRow {
  std::int64_t number = 1;
  double start_s = 0;
  std::optional<double> end_s{};  ///< none while the tool is in the cut
};

struct EpisodeRow {
  std::int64_t number = 1;
  double start_s = 0, alert_s = 0, end_s = 0;
  bool open = false;
  double chatter_hz = 0;
  std::string kind{};
  double peak_dbfs = -200, chatter_share = 0, confidence = 0;
  std::optional<std::int64_t> return_of{};
  double entered_rpm = 0;
  std::optional<double> measured_rpm{};
};

/// One speed that was advised for an episode; with direction "other", `text` is advised beside the speed.
struct AdviceRow {
  std::int64_t episode_number = 1;
  double t_s = 0;
  std::string direction{};  ///< "lower", "higher", "knob", "other", "reason"
  bool first = false;     ///< the one to try first
  std::optional<double> spindle_rpm{}, feed_mm_min{}, override_percent{}, knob_percent{}, likelihood{};
  std::string text{};
};

struct TrialRow {
  std::int64_t number = 1;
  double from_s = 0, to_s = 0, spindle_rpm = 0;
  std::optional<double> programmed_rpm{};
  std::string outcome{};  ///< "held", "returned", "chattered", "not_enough"
  std::optional<double> quiet_s{}, chatter_hz{}, before_dbfs{}, after_dbfs{}, feed_mm_min{};
  std::string text{};
};

/// A line of the table of speeds, over all trials of the last cut; highest speed first, "anywhere" before the places.
struct SpeedRow {
  double spindle_rpm = 0;
  std::string place{};  ///< empty: anywhere
  std::string outcome{};
  std::optional<double> quiet_s{}, chatter_s{};
  bool holds_everywhere = false;  ///< the highest that does
};

struct TapRow {
  std::string utc{};
  bool of_part = false;
  double hz = 0;
  std::optional<double> hz_deviation{}, damping_ratio{}, damping_deviation{};
  std::int64_t taps = 1;
  bool of_machine = false;  ///< of neither tool nor part
};

struct NoteRow {
  std::optional<double> t_s{};
  std::string utc{}, text{};
};

struct RecordingRow {
  std::int64_t id = 0;
  std::int64_t session_id = 0;
  std::string path{};    ///< relative to the journal's folder; absolute for a file that was listened to
  std::string kind{};    ///< "minute", "session", "listened"
  std::string sha256{};  ///< empty while it is being written, and after a crash
  double from_s = 0;
  std::optional<double> to_s{};
  double sample_rate_hz = 0;
  std::optional<std::int64_t> bytes{};
  std::int64_t missing_samples = 0;  ///< lost on the way to the disk, silence in the file
  bool pinned = false;
  std::string started_utc{};
};

/// Everything of one session.
struct SessionRecord {
  SessionRow session;
  std::vector<CardRow> cards;
  std::vector<EventRow> events;
  std::vector<CutRow> cuts;
  std::vector<EpisodeRow> episodes;
  std::vector<AdviceRow> advice;
  std::vector<TrialRow> trials;
  std::vector<SpeedRow> speeds;
  std::vector<TapRow> taps;
  std::vector<NoteRow> notes;
  std::vector<RecordingRow> recordings;
};

/// A line of the list of sessions.
struct SessionLine {
  SessionRow session;
  std::int64_t cuts = 0, episodes = 0, recordings = 0;
};

/// The stated rule of pruning. Nothing is ever pruned without one, and never what is pinned.
struct PruneRule {
  std::optional<double> older_than_days{};
  std::optional<double> above_gib{};  ///< the oldest go until the rest is below
  bool empty() const { return !older_than_days && !above_gib; }
};

}  // namespace hushmill::journal
