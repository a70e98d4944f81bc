#include <string>
#include <vector>

#include "fuzz/food.hpp"
#include "fuzz/own_folder.hpp"
#include "fuzz/read_journal.hpp"
#include "journal/errors.hpp"
#include "journal/folders.hpp"
#include "journal/journal.hpp"

namespace hushmill::fuzz {
namespace {

constexpr const char* kTables[] = {"session", "card", "event", "cut", "episode", "advice", "trial", "speed", "tap", "note", "recording", "job", "tool", "setup", "setting"};
constexpr const char* kWords[] = {"held", "returned", "chattered", "not_enough", "climb", "conventional", "session", "minute", "listened", "microphone", "recording", "another_cut", "tried_before", "lap_marked",
                                  "place", "heard_taken", "corner", "tool", "warning", "clipped", "sound_lost", "lower", "higher", "knob", "reason", "other", "taps", "period_doubling", "",
                                  "5400:held, 6000:chattered@1370, 6600:returned@1e308", "2026-11-26T09:15:00.250Z", "9999-12-31T23:59:59.999Z", "0000-01-01T00:00:00.000Z", "--channel left --inches",
                                  "12.5 mm deep and 99999999999999999999 mm wide", "sound.wav", "../sound.wav", "12", "-1e308", "prune_above_gib", "prune_older_than_days", "nan"};

journal::Value any_value(Food& food) {
  switch (food.below(8)) {
    case 0: return {};
    case 1: return static_cast<std::int64_t>(static_cast<std::int8_t>(food.byte()));
    case 2: return static_cast<std::int64_t>(food.word(8));
    case 3:
    case 4: return food.number();
    case 5: return food.text(40);
    default: return std::string(kWords[food.below(std::size(kWords))]);
  }
}

struct Columns {
  std::string table;
  std::vector<std::string> names;
};

/// A journal with its tables and nothing in them, kept open from one execution to the next.
struct Opened {
  std::filesystem::path folder = own_folder() / "kept";
  journal::Journal made{folder};  // stays, so that nobody empties the write-ahead log in between
  journal::Database database{journal::journal_file(folder), false};
  std::vector<Columns> tables;

  Opened() {
    database.run("PRAGMA synchronous = OFF; PRAGMA foreign_keys = OFF");
    for (const char* table : kTables) tables.push_back({table, database.table(std::string("SELECT * FROM ") + table + " LIMIT 0").columns});
  }
};

void add_row(journal::Database& database, const Columns& to, Food& food) {
  std::string names, marks;
  std::vector<journal::Value> values;
  for (const auto& name : to.names) {
    const bool key = name == "session_id" || (name == "id" && to.table == "session") || name == "job_id" || name == "setup_id";
    if (name == "id" && !key) continue;
    names += (names.empty() ? "" : ", ") + name;
    marks += marks.empty() ? "?" : ", ?";
    values.push_back(key ? journal::Value(std::int64_t{1}) : any_value(food));
  }
  try {
    database.change("INSERT OR IGNORE INTO " + to.table + "(" + names + ") VALUES (" + marks + ")", values);
  } catch (const journal::JournalFailed&) {
    // A number that is none.
  }
}

}  // namespace

void journal_values(Input input) {
  constexpr int kMostRows = 24;
  static Opened opened;
  Food food(input);
  {
    journal::Transaction all(opened.database);
    for (const auto& table : opened.tables) opened.database.run("DELETE FROM " + table.table);
    opened.database.run("INSERT INTO session(id, started_utc, utc_offset_min, source_kind, source, sample_rate_hz, program_version, settings) "
                        "VALUES (1, '2026-11-26T09:15:00.250Z', 60, 'recording', 'sound.wav', 48000, '0', '--inches')");
    for (int row = 0; row < kMostRows && !food.empty(); ++row) {
      const auto& table = opened.tables[food.below(opened.tables.size())];
      if (table.table == "session") opened.database.run("DELETE FROM session");
      add_row(opened.database, table, food);
    }
    all.commit();
  }
  read_journal(opened.folder);
}

}  // namespace hushmill::fuzz
