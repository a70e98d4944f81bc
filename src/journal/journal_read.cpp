#include <algorithm>
#include <cmath>
#include <cstdlib>

#include "journal/errors.hpp"
#include "journal/journal.hpp"

namespace hushmill::journal {
namespace {

/// Whoever wrote the file: nothing that is kept is larger (bytes, samples, seconds times a sample rate still fit 64 bits), and what is as
/// large as this has all its digits in a double. Beyond it a cell counts as empty.
constexpr double kLargest = 1e12;
constexpr std::int64_t kMostOffsetMin = std::int64_t{24} * 60;

/// The cells of one row in order, each turned into what the record holds.
class Cells {
 public:
  explicit Cells(const std::vector<Value>& row) : row_(row) {}
  std::string text() {
    const auto* value = std::get_if<std::string>(&next());
    return value != nullptr ? *value : std::string();
  }
  std::optional<double> maybe() {
    const Value& value = next();
    const auto* whole = std::get_if<std::int64_t>(&value);
    const auto* number = std::get_if<double>(&value);
    const double found = whole != nullptr ? static_cast<double>(*whole) : number != nullptr ? *number : kLargest * 2;
    return std::abs(found) <= kLargest ? std::optional(found) : std::nullopt;
  }
  double number() { return maybe().value_or(0); }
  std::optional<std::int64_t> maybe_whole() {
    const auto value = maybe();
    return value ? std::optional(static_cast<std::int64_t>(*value)) : std::nullopt;
  }
  std::int64_t whole() { return maybe_whole().value_or(0); }
  bool flag() { return whole() != 0; }

 private:
  const Value& next() {
    static const Value kNone;
    return at_ < row_.size() ? row_[at_++] : kNone;
  }
  const std::vector<Value>& row_;
  std::size_t at_ = 0;
};

// Braces are evaluated from left to right, so the cells come in the order of the columns.
SessionRow session_of(Cells& c) {
  SessionRow s;
  s.id = c.whole();
  s.started_utc = c.text();
  const auto offset_min = c.whole();
  s.utc_offset_min = std::abs(offset_min) <= kMostOffsetMin ? static_cast<int>(offset_min) : 0;
  s.ended_utc = c.text();
  s.heard_s = c.maybe();
  s.source_kind = c.text();
  s.source = c.text();
  s.sample_rate_hz = c.number();
  s.program_version = c.text();
  s.settings = c.text();
  s.job = c.text();
  s.setup.machine = c.text();
  s.setup.tool = c.text();
  s.setup.hold = c.text();
  s.setup.material = c.text();
  s.setup.depth_mm = c.maybe();
  s.setup.radial_mm = c.maybe();
  return s;
}

RecordingRow recording_of(Cells c) {
  return {c.whole(), c.whole(), c.text(), c.text(), c.text(), c.number(), c.maybe(), c.number(), c.maybe_whole(), c.whole(), c.flag(), c.text()};
}

constexpr const char* kSessionColumns =
    "s.id, s.started_utc, s.utc_offset_min, s.ended_utc, s.heard_s, s.source_kind, s.source, s.sample_rate_hz, "
    "s.program_version, s.settings, j.name, u.machine, u.tool, u.hold, u.material, u.depth_mm, u.radial_mm";
constexpr const char* kSessionTables =
    " FROM session s LEFT JOIN job j ON j.id = s.job_id LEFT JOIN setup u ON u.id = s.setup_id ";
constexpr const char* kRecordingColumns =
    "id, session_id, path, kind, sha256, from_s, to_s, sample_rate_hz, bytes, missing_samples, pinned, started_utc";

/// '%' and '_' mean themselves.
std::string as_pattern(const std::string& words) {
  std::string pattern = "%";
  for (const char c : words) {
    if (c == '%' || c == '_' || c == '\\') pattern += '\\';
    pattern += c;
  }
  return pattern + "%";
}

}  // namespace

std::vector<SessionLine> Journal::sessions(const std::string& words, std::size_t most) {
  const Table found = database_.table(
      std::string("SELECT ") + kSessionColumns +
          ", (SELECT count(*) FROM cut WHERE session_id = s.id), (SELECT count(*) FROM episode WHERE session_id = s.id), "
          "(SELECT count(*) FROM recording WHERE session_id = s.id)" + kSessionTables +
          "WHERE ?1 = '' OR CAST(s.id AS TEXT) = ?1 OR coalesce(j.name,'') || ' ' || coalesce(u.machine,'') || ' ' || coalesce(u.tool,'') || ' ' || "
          "coalesce(u.hold,'') || ' ' || coalesce(u.material,'') || ' ' || s.source LIKE ?2 ESCAPE '\\' OR EXISTS (SELECT 1 FROM "
          "note WHERE session_id = s.id AND text LIKE ?2 ESCAPE '\\') ORDER BY s.id DESC LIMIT ?3",
      {words, as_pattern(words), static_cast<std::int64_t>(most)});
  std::vector<SessionLine> lines;
  for (const auto& row : found.rows) {
    Cells c(row);
    SessionLine line;
    line.session = session_of(c);
    line.cuts = c.whole();
    line.episodes = c.whole();
    line.recordings = c.whole();
    lines.push_back(std::move(line));
  }
  return lines;
}

SessionRecord Journal::session(std::int64_t id) {
  const auto rows = [&](const std::string& columns, const std::string& from, const std::string& order) {
    return database_.table("SELECT " + columns + " FROM " + from + " WHERE session_id = ? ORDER BY " + order, {id}).rows;
  };
  const Table head = database_.table(std::string("SELECT ") + kSessionColumns + kSessionTables + "WHERE s.id = ?", {id});
  if (head.rows.empty()) {
    throw BadJournal("the journal has no session " + std::to_string(id) + "; a number from hushmill journal list would be right");
  }
  SessionRecord record;
  Cells first(head.rows.front());
  record.session = session_of(first);
  for (const auto& row : rows("t_s, programmed_rpm, override_percent, entered_rpm, flutes, diameter_mm, radial_mm, depth_mm, "
                              "milling, feed_mm_min, min_rpm, max_rpm, tool_max_rpm, knob_step_percent, damping_ratio, pitch_pattern_teeth, "
                              "unequal_pitch, knob_least_percent, knob_most_percent",
                              "card", "id")) {
    Cells c(row);
    record.cards.push_back({c.number(), c.number(), c.number(), c.number(), c.whole(), c.maybe(), c.maybe(), c.maybe(),
                            c.text(), c.maybe(), c.maybe(), c.maybe(), c.maybe(), c.maybe(), c.maybe(), c.whole(), c.flag(), c.maybe(), c.maybe()});
  }
  for (const auto& row : rows("t_s, utc, kind, number, hz, text", "event", "id")) {
    Cells c(row);
    record.events.push_back({c.number(), c.text(), c.text(), c.maybe_whole(), c.maybe(), c.text()});
  }
  for (const auto& row : rows("number, start_s, end_s", "cut", "number")) {
    Cells c(row);
    record.cuts.push_back({c.whole(), c.number(), c.maybe()});
  }
  for (const auto& row : rows("number, start_s, alert_s, end_s, open, chatter_hz, kind, peak_dbfs, chatter_share, confidence, "
                              "return_of, entered_rpm, measured_rpm",
                              "episode", "number")) {
    Cells c(row);
    record.episodes.push_back({c.whole(), c.number(), c.number(), c.number(), c.flag(), c.number(), c.text(), c.number(),
                               c.number(), c.number(), c.maybe_whole(), c.number(), c.maybe()});
  }
  for (const auto& row : rows("episode_number, t_s, direction, first, spindle_rpm, feed_mm_min, override_percent, "
                              "knob_percent, likelihood, text",
                              "advice", "episode_number, id")) {
    Cells c(row);
    record.advice.push_back({c.whole(), c.number(), c.text(), c.flag(), c.maybe(), c.maybe(), c.maybe(), c.maybe(), c.maybe(),
                             c.text()});
  }
  for (const auto& row : rows("number, from_s, to_s, spindle_rpm, programmed_rpm, outcome, quiet_s, chatter_hz, before_dbfs, "
                              "after_dbfs, feed_mm_min, text",
                              "trial", "number")) {
    Cells c(row);
    record.trials.push_back({c.whole(), c.number(), c.number(), c.number(), c.maybe(), c.text(), c.maybe(), c.maybe(),
                             c.maybe(), c.maybe(), c.maybe(), c.text()});
  }
  for (const auto& row : rows("spindle_rpm, place, outcome, quiet_s, chatter_s, holds_everywhere", "speed", "id")) {
    Cells c(row);
    record.speeds.push_back({c.number(), c.text(), c.text(), c.maybe(), c.maybe(), c.flag()});
  }
  for (const auto& row : rows("utc, of_part, hz, hz_deviation, damping_ratio, damping_deviation, taps, of_machine", "tap", "id")) {
    Cells c(row);
    record.taps.push_back({c.text(), c.flag(), c.number(), c.maybe(), c.maybe(), c.maybe(), c.whole(), c.flag()});
  }
  for (const auto& row : rows("t_s, utc, text", "note", "id")) {
    Cells c(row);
    record.notes.push_back({c.maybe(), c.text(), c.text()});
  }
  for (const auto& row : rows(kRecordingColumns, "recording", "id")) record.recordings.push_back(recording_of(Cells(row)));
  return record;
}

std::vector<ToolRow> Journal::tools(const std::string& job) {
  std::vector<ToolRow> tools;
  const Table found = database_.table(
      "SELECT t.number, t.name, t.flutes, t.diameter_mm, t.max_rpm FROM tool t JOIN job j ON j.id = t.job_id WHERE j.name = ? "
      "ORDER BY t.number",
      {job});
  for (const auto& row : found.rows) {
    Cells c(row);
    tools.push_back({c.whole(), c.text(), c.whole(), c.maybe(), c.maybe()});
  }
  return tools;
}

std::vector<RecordingRow> Journal::recordings() {
  std::vector<RecordingRow> recordings;
  for (const auto& row :
       database_.table(std::string("SELECT ") + kRecordingColumns + " FROM recording ORDER BY started_utc DESC, id DESC").rows) {
    recordings.push_back(recording_of(Cells(row)));
  }
  return recordings;
}

const std::vector<std::string>& Journal::table_names() {
  static const std::vector<std::string> kNames{"sessions", "cards",   "events", "cuts",  "episodes", "advice", "trials", "speeds",
                                               "taps",     "notes",   "recordings", "jobs", "tools",  "setups"};
  return kNames;
}

Table Journal::table(const std::string& name, std::optional<std::int64_t> session) {
  const auto& names = table_names();
  if (std::find(names.begin(), names.end(), name) == names.end()) {
    std::string list;
    for (const auto& known : names) list += (list.empty() ? "" : known == names.back() ? " or " : ", ") + known;
    throw BadJournal("the journal has no table '" + name.substr(0, 60) + "'; " + list + " would be right");
  }
  // In SQL they are named by one row: "cut", not "cuts".
  const std::string one = name == "advice" ? name : name.substr(0, name.size() - 1);
  std::string where;
  if (session) {
    where = one == "session" ? " WHERE id = ?1"
            : one == "job"   ? " WHERE id = (SELECT job_id FROM session WHERE id = ?1)"
            : one == "tool"  ? " WHERE job_id = (SELECT job_id FROM session WHERE id = ?1)"
            : one == "setup" ? " WHERE id = (SELECT setup_id FROM session WHERE id = ?1)"
                             : " WHERE session_id = ?1";
  }
  return database_.table("SELECT * FROM " + one + where + " ORDER BY id", session ? std::vector<Value>{*session} : std::vector<Value>{});
}

std::string Journal::integrity() {
  const Value answer = database_.value("PRAGMA integrity_check");
  const auto* text = std::get_if<std::string>(&answer);
  return text != nullptr ? *text : std::string("no answer");
}

PruneRule Journal::prune_rule() {
  const auto number = [&](const char* key) -> std::optional<double> {
    const Value value = database_.value("SELECT value FROM setting WHERE key = ?", {std::string(key)});
    const auto* text = std::get_if<std::string>(&value);
    return text != nullptr ? std::optional(std::strtod(text->c_str(), nullptr)) : std::nullopt;
  };
  return {number("prune_older_than_days"), number("prune_above_gib")};
}

std::vector<RecordingRow> Journal::prunable(const PruneRule& rule, Moment now) {
  std::vector<RecordingRow> gone;
  if (rule.empty()) return gone;
  constexpr double kBytesPerGib = 1024.0 * 1024.0 * 1024.0;
  struct Kept {
    RecordingRow row;
    double bytes = 0;
  };
  std::vector<Kept> kept;
  double all_bytes = 0;
  for (const RecordingRow& recording : recordings()) {
    if (recording.kind == "listened" || !is_ours(recording)) continue;
    std::error_code error;
    const auto bytes = std::filesystem::file_size(path_of(recording), error);
    kept.push_back({recording, error ? 0.0 : static_cast<double>(bytes)});
    all_bytes += kept.back().bytes;
  }
  for (auto one = kept.rbegin(); one != kept.rend(); ++one) {  // oldest first
    // What is being written has no hash yet; after a crash neither, then it waits a day.
    const double age_days = std::chrono::duration<double>(now - moment_of(one->row.started_utc)).count() / 86400;
    const bool finished = !one->row.sha256.empty() || age_days > 1;
    const bool old = rule.older_than_days && age_days > *rule.older_than_days;
    const bool too_much = rule.above_gib && all_bytes > *rule.above_gib * kBytesPerGib;
    if (one->row.pinned || !finished || !(old || too_much)) continue;
    gone.push_back(one->row);
    all_bytes -= one->bytes;
  }
  return gone;
}

}  // namespace hushmill::journal
