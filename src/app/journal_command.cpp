#include "app/journal_command.hpp"

#include <CLI/CLI.hpp>
#include <algorithm>
#include <cstdio>
#include <fstream>
#include <memory>

#include "app/inch_words.hpp"
#include "app/journal_export.hpp"
#include "app/journal_text.hpp"
#include "app/keep_options.hpp"
#include "app/out_file.hpp"
#include "app/usage_line.hpp"
#include "capture/errors.hpp"
#include "text/file_ending.hpp"
#include "text/outside_text.hpp"
#include "journal/journal.hpp"
#include "journal/strays.hpp"
#include "live/open_ends.hpp"

namespace hushmill::app {

namespace {
using journal::Journal;

Journal opened(const std::string& data) { return Journal(data_folder(data), Journal::Open::must_be_there); }

std::int64_t number_of(const char* option, const std::string& text) { return parse_whole(option, text, 1, 2147483647); }

// Sound that no row knows: no rule deletes it, so a person is told.
void name_strays(Journal& journal) {
  for (const auto& stray : journal::strays(journal))
    std::printf("not in the journal: %s (%.1f MB); no rule deletes it\n", text::plain_line((journal.folder() / stray.path).string()).c_str(), static_cast<double>(stray.bytes) / 1e6);
}

struct ListTexts {
  std::string data, words;
  bool json = false, recordings = false;
};
int list(const ListTexts& texts) {
  Journal journal = opened(texts.data);
  if (texts.recordings) {
    auto recordings = journal.recordings();
    for (auto& recording : recordings) live::find_open_end(recording, data_folder(texts.data));
    if (texts.json) std::puts(dump(to_json(journal.table("recordings", std::nullopt)), 2).c_str());
    else {
      std::fputs(recordings.empty() ? "There is no recording.\n" : text::plain_lines(recordings_text(recordings)).c_str(), stdout);
      name_strays(journal);
    }
    return 0;
  }
  const auto sessions = journal.sessions(texts.words);
  if (!texts.json) {
    std::fputs(text::plain_lines(to_text(sessions)).c_str(), stdout);
    if (texts.words.empty()) name_strays(journal);
    return 0;
  }
  Json list = Json::array();
  for (const auto& line : sessions) {
    const auto& s = line.session;
    list.push_back({{"session", s.id}, {"started_utc", s.started_utc}, {"utc_offset_min", s.utc_offset_min},
                    {"heard_s", s.heard_s ? Json(*s.heard_s) : Json()}, {"job", s.job}, {"source", s.source}, {"cuts", line.cuts},
                    {"episodes", line.episodes}, {"recordings", line.recordings}});
  }
  std::puts(dump(list, 2).c_str());
  return 0;
}

struct ShowTexts {
  std::string data, session;
  bool json = false;
};
int show(const ShowTexts& texts) {
  const auto number = number_of("session", texts.session);
  Journal journal = opened(texts.data);
  if (!texts.json) {
    auto record = journal.session(number);
    live::find_open_ends(record, data_folder(texts.data));
    std::fputs(text::plain_lines(to_text(record)).c_str(), stdout);
    return 0;
  }
  journal.session(number);  // says so when there is none
  Json all = Json::object();
  for (const auto& name : Journal::table_names()) all[name] = to_json(journal.table(name, number));
  std::puts(dump(all, 2).c_str());
  return 0;
}

struct ExportTexts {
  std::string data, table, out, session;
  bool json = false;
};
int export_table(const ExportTexts& texts) {
  std::optional<std::int64_t> session;
  if (!texts.session.empty()) session = number_of("--session", texts.session);
  bool json = texts.json;
  if (texts.json && text::file_ending(texts.out).empty()) check_out_folder("--out", texts.out);
  else if (!texts.out.empty()) json = check_out_file("--out", texts.out, {".csv", ".json"}) == ".json";
  if (texts.json && !json) throw UsageError("--json is given while --out ends in .csv; one of them would be right");
  Journal journal = opened(texts.data);
  if (session) journal.session(*session);  // says so when there is none
  const auto table = journal.table(texts.table, session);
  const std::string text = json ? dump(to_json(table), 2) + "\n" : to_csv(table);
  if (texts.out.empty()) {
    std::fwrite(text.data(), 1, text.size(), stdout);
    return 0;
  }
  std::ofstream file(texts.out, std::ios::binary);
  file << text;
  file.flush();
  if (!file) throw capture::OutsideFailed("file " + capture::in_quotes(texts.out) + " cannot be written; a folder with space and write permission would be right");
  std::printf("%s: %zu row%s\n", text::plain_line(texts.out).c_str(), table.rows.size(), table.rows.size() == 1 ? "" : "s");
  return 0;
}

struct PruneTexts {
  std::string data;
  std::optional<std::string> days, gib;
  bool set_rule = false, no_rule = false, dry = false;
};
int prune(const PruneTexts& texts) {
  journal::PruneRule rule;
  if (texts.days) rule.older_than_days = parse_number("--older-than-days", *texts.days, 0, 36500);
  if (texts.gib) rule.above_gib = parse_number("--above-gib", *texts.gib, 0, 1e6);
  Journal journal = opened(texts.data);
  if (texts.no_rule) {
    journal.set_prune_rule({});
    std::puts("No rule any more: no recording is deleted by itself.");
    return 0;
  }
  if (rule.empty()) rule = journal.prune_rule();
  if (rule.empty()) throw UsageError("no rule was given or set; --older-than-days 30 or --above-gib 20 would be right");
  if (texts.set_rule) {
    journal.set_prune_rule(rule);
    std::puts("Rule set: it is applied at the start of every session, to recordings that are not pinned.");
  }
  const auto gone = journal.prunable(rule, std::chrono::system_clock::now());
  for (const auto& recording : gone) {
    if (!texts.dry) journal.delete_recording(recording);
    std::printf("%s %s\n", texts.dry ? "would delete" : "deleted", text::plain_line(recording.path).c_str());
  }
  std::printf("%zu recording%s %s\n", gone.size(), gone.size() == 1 ? "" : "s", texts.dry ? "would go" : "gone");
  name_strays(journal);
  return 0;
}

struct NoteTexts {
  std::string data, session, text;
};
struct PinTexts {
  std::string data, recording;
  bool off = false;
};
struct DeleteTexts {
  std::string data, session, recording, bare;
};
int delete_kept(const DeleteTexts& texts) {
  if (!texts.bare.empty())
    throw UsageError("'" + texts.bare.substr(0, 60) + "' may be a session or a recording; --session " + texts.bare.substr(0, 60) + " or --recording " + texts.bare.substr(0, 60) + " would be right");
  if (texts.session.empty() && texts.recording.empty()) throw UsageError("what to delete is missing; either --session or --recording with its number would be right");
  if (!texts.session.empty() && !texts.recording.empty()) throw UsageError("--session and --recording are both given; one of them would be right");
  const auto number = texts.recording.empty() ? number_of("--session", texts.session) : number_of("--recording", texts.recording);
  Journal journal = opened(texts.data);
  if (!texts.recording.empty()) {
    for (const auto& recording : journal.recordings()) {
      if (recording.id != number) continue;
      journal.delete_recording(recording);
      std::printf(recording.kind == "listened" ? "forgotten; the file stays: %s\n" : "deleted %s\n", text::plain_line(recording.path).c_str());
      return 0;
    }
    throw UsageError("the journal has no recording " + texts.recording + "; a number from hushmill journal list --recordings would be right");
  }
  const auto record = journal.session(number);
  for (const auto& recording : record.recordings) journal.delete_recording(recording);
  journal.delete_session(number);
  const auto theirs = static_cast<std::size_t>(std::count_if(record.recordings.begin(), record.recordings.end(), [](const auto& one) { return one.kind == "listened"; }));
  const auto ours = record.recordings.size() - theirs;
  std::printf("deleted session %lld and %zu recording%s\n", static_cast<long long>(number), ours, ours == 1 ? "" : "s");
  for (const auto& recording : record.recordings)
    if (recording.kind == "listened") std::printf("the file stays: %s\n", text::plain_line(recording.path).c_str());
  return 0;
}

struct ToolTexts {
  std::string data, job, number;
  std::optional<std::string> name, flutes, diameter_mm, diameter_in, max_rpm;
};
bool known_job(Journal& journal, const std::string& name) {
  const auto jobs = journal.table("jobs", std::nullopt);
  const auto column = std::find(jobs.columns.begin(), jobs.columns.end(), "name") - jobs.columns.begin();
  return std::any_of(jobs.rows.begin(), jobs.rows.end(), [&](const auto& row) { return row.at(static_cast<std::size_t>(column)) == journal::Value(name); });
}
int add_tool(const ToolTexts& texts) {
  if (texts.job.find_first_not_of(" \t\r\n") == std::string::npos) throw UsageError("--job has no name; one, as --job bracket, would be right");
  journal::ToolRow tool;
  tool.number = parse_whole("--number", texts.number, 1, 99999);
  Journal journal(data_folder(texts.data));
  // What is not named again stays.
  const auto tools = journal.tools(texts.job);
  const auto before = std::find_if(tools.begin(), tools.end(), [&](const auto& one) { return one.number == tool.number; });
  if (before != tools.end()) tool = *before;
  else if (!texts.name || !texts.flutes)
    throw UsageError("T" + std::to_string(tool.number) + " is new to job '" + texts.job.substr(0, 60) + "' and " + (texts.name ? "--flutes" : "--name") + " is missing; --name and --flutes would be right");
  if (texts.name && texts.name->find_first_not_of(" \t\r\n") == std::string::npos) throw UsageError("--name is empty; what the tool is would be right");
  if (texts.name) tool.name = *texts.name;
  if (texts.flutes) tool.flutes = parse_whole("--flutes", *texts.flutes, 1, 64);
  if (texts.diameter_mm && texts.diameter_in) throw UsageError("--diameter-mm and --diameter-in are both given; one of them would be right");
  if (texts.diameter_mm) tool.diameter_mm = parse_number("--diameter-mm", *texts.diameter_mm, 0.01, 1000);
  if (texts.diameter_in) tool.diameter_mm = kMmPerInch * parse_number("--diameter-in", *texts.diameter_in, 0.01 / kMmPerInch, 1000 / kMmPerInch);
  if (texts.max_rpm) tool.max_rpm = parse_number("--max-rpm", *texts.max_rpm, 10, 200000);
  if (!known_job(journal, texts.job)) std::printf("job '%s' is new\n", text::plain_line(texts.job).c_str());
  journal.add_tool(texts.job, tool);
  for (const auto& t : journal.tools(texts.job))
    std::printf("T%lld  %s, %lld flutes%s%s\n", static_cast<long long>(t.number), text::plain_line(t.name).c_str(), static_cast<long long>(t.flutes),
                t.diameter_mm ? (", " + length_words(*t.diameter_mm, texts.diameter_in.has_value())).c_str() : "", t.max_rpm ? (", at most " + plain(*t.max_rpm) + " rev/min").c_str() : "");
  return 0;
}
}  // namespace

void add_journal(CLI::App& app, std::function<int()>& run) {
  auto* journal = app.add_subcommand("journal", "What was kept of earlier sessions: list, show, export, prune");
  journal->require_subcommand(1);

  const auto lists = std::make_shared<ListTexts>();
  auto* command = journal->add_subcommand("list", "Sessions, newest first");
  command->add_option("words", lists->words, "Only those whose job, set-up, source or notes hold these words, or the one of this number")->type_name("WORDS");
  command->add_flag("--recordings", lists->recordings, "Recordings instead of sessions");
  command->add_flag("--json", lists->json, "As JSON on standard output");
  add_journal_folder(*command, lists->data);
  command->callback([lists, &run] { run = [lists] { return list(*lists); }; });

  const auto shows = std::make_shared<ShowTexts>();
  command = journal->add_subcommand("show", "One session in full");
  command->add_option("session", shows->session, "Its number")->required()->type_name("N");
  command->add_flag("--json", shows->json, "All its tables as JSON on standard output");
  add_journal_folder(*command, shows->data);
  command->callback([shows, &run] { run = [shows] { return show(*shows); }; });

  const auto exports = std::make_shared<ExportTexts>();
  command = journal->add_subcommand("export", "A table for other programs, as CSV or JSON");
  command->add_option("table", exports->table, listed(Journal::table_names()))->required()->type_name("TABLE");
  command->add_option("--session", exports->session, "Only of this session")->type_name("N");
  command->add_option("--out", exports->out, "File to write; its name decides, .csv or .json; default standard output")->type_name("FILE");
  command->add_flag("--json", exports->json, "JSON instead of CSV");
  add_journal_folder(*command, exports->data);
  command->callback([exports, &run] { run = [exports] { return export_table(*exports); }; });

  const auto prunes = std::make_shared<PruneTexts>();
  command = journal->add_subcommand("prune", "Delete old recordings by a rule; pinned ones stay");
  auto* days = command->add_option("--older-than-days", prunes->days, "Those older than this")->type_name("DAYS");
  auto* gib = command->add_option("--above-gib", prunes->gib, "The oldest until all are below this")->type_name("GIB");
  auto* each = command->add_flag("--each-session", prunes->set_rule, "Keep the rule and apply it at the start of every session");
  auto* dry = command->add_flag("--dry-run", prunes->dry, "Only say what would go");
  command->add_flag("--no-rule", prunes->no_rule, "Forget the rule")->excludes(days)->excludes(gib)->excludes(each)->excludes(dry);
  add_journal_folder(*command, prunes->data);
  command->callback([prunes, &run] { run = [prunes] { return prune(*prunes); }; });

  const auto notes = std::make_shared<NoteTexts>();
  command = journal->add_subcommand("note", "Add a remark to a session");
  command->add_option("session", notes->session, "Its number")->required()->type_name("N");
  command->add_option("text", notes->text, "The remark")->required()->type_name("TEXT");
  add_journal_folder(*command, notes->data);
  command->callback([notes, &run] {
    run = [notes] {
      const auto number = number_of("session", notes->session);
      if (notes->text.find_first_not_of(" \t\r\n") == std::string::npos) throw UsageError("the remark is empty; some words would be right");
      Journal opened_journal = opened(notes->data);
      opened_journal.session(number);
      opened_journal.add(number, journal::NoteRow{std::nullopt, journal::utc_text(std::chrono::system_clock::now()), notes->text});
      std::printf("noted in session %lld\n", static_cast<long long>(number));
      return 0;
    };
  });

  const auto pins = std::make_shared<PinTexts>();
  command = journal->add_subcommand("pin", "Never prune this recording");
  command->add_option("recording", pins->recording, "Its number, from hushmill journal list --recordings")->required()->type_name("N");
  command->add_flag("--off", pins->off, "It may be pruned again");
  add_journal_folder(*command, pins->data);
  command->callback([pins, &run] {
    run = [pins] {
      const auto number = number_of("recording", pins->recording);
      opened(pins->data).pin(number, !pins->off);
      std::printf(pins->off ? "recording %lld may be pruned again\n" : "recording %lld is pinned: no rule deletes it\n", static_cast<long long>(number));
      return 0;
    };
  });

  const auto deletes = std::make_shared<DeleteTexts>();
  command = journal->add_subcommand("delete", "Delete a session with its recordings, or one recording");
  command->add_option("--session", deletes->session, "Session to delete")->type_name("N");
  command->add_option("number", deletes->bare)->group("");  // asked back: two things have numbers
  command->add_option("--recording", deletes->recording, "Recording to delete")->type_name("N");
  add_journal_folder(*command, deletes->data);
  command->callback([deletes, &run] { run = [deletes] { return delete_kept(*deletes); }; });

  const auto tools = std::make_shared<ToolTexts>();
  command = journal->add_subcommand("tool", "Add a tool to a job, or change it");
  command->add_option("--job", tools->job, "The job")->required()->type_name("NAME");
  command->add_option("--number", tools->number, "Its T word; of a tool that is there, what is not named again stays")->required()->type_name("N");
  command->add_option("--name", tools->name, "What it is; a new tool needs it")->type_name("NAME");
  command->add_option("--flutes", tools->flutes, "Its flutes; a new tool needs them")->type_name("N");
  command->add_option("--diameter-mm", tools->diameter_mm, "Its diameter")->type_name("MM");
  command->add_option("--diameter-in", tools->diameter_in, "The same in inches")->type_name("IN");
  command->add_option("--max-rpm", tools->max_rpm, "Its fastest speed")->type_name("RPM");
  add_journal_folder(*command, tools->data);
  command->callback([tools, &run] { run = [tools] { return add_tool(*tools); }; });
  // Last, since what is added later would take it over.
  journal->footer("Example: hushmill journal list\n         hushmill journal show 12\n         hushmill journal export episodes --out episodes.csv");
}

}  // namespace hushmill::app
