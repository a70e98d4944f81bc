#include <cmath>
#include <stdexcept>
#include <string>

#include "app/inch_words.hpp"
#include "app/journal_export.hpp"
#include "app/json.hpp"
#include "app/option_text.hpp"
#include "app/usage_line.hpp"
#include "dashboard/line_editor.hpp"
#include "fuzz/food.hpp"
#include "fuzz/promise.hpp"
#include "journal/utc.hpp"
#include "live/earlier_trials.hpp"
#include "text/outside_text.hpp"
#include "report/writers.hpp"
#include "setup/cut_sheet.hpp"

// The first byte says who reads the rest.
namespace hushmill::fuzz {
namespace {

constexpr double kLow = 0.001, kHigh = 200000;

bool within(double value) { return value >= kLow && value <= kHigh; }

void number(const std::string& text) { promise(within(app::parse_number("--depth-mm", text, kLow, kHigh)), "a number lies within its limits", text); }
void whole(const std::string& text) {
  const int flutes = app::parse_whole("--flutes", text, 1, 64);
  promise(flutes >= 1 && flutes <= 64, "a count lies within its limits", text);
}
void timed(const std::string& text) {
  const auto one = app::parse_timed("--rpm-at", text, kLow, kHigh);
  promise(std::isfinite(one.at_s) && within(one.value), "a time and what is true from then on are numbers", text);
}
void range(const std::string& text) {
  const auto both = app::parse_range("--override", text, kLow, kHigh);
  promise(within(both.from) && within(both.to) && both.from <= both.to, "a range is in order", text);
}
void list(const std::string& text) {
  for (const double one : app::parse_list("--pitch-deg", text, kLow, kHigh)) promise(within(one), "numbers of a list lie within its limits", text);
}
void trial(const std::string& text) {
  const auto tried = app::parse_trial("--tried", text);
  promise(std::isfinite(tried.spindle_rpm) && tried.spindle_rpm > 0, "a tried speed is one", text);
  promise(live::tried_from(live::tried_text({&tried, 1})).size() == 1, "a trial that was written down is read again", text);
}
void trials(const std::string& text) {
  const auto tried = live::tried_from(text);
  for (const auto& one : tried) promise(std::isfinite(one.spindle_rpm) && one.spindle_rpm > 0, "a tried speed is one", text);
}
void moment(const std::string& text) {
  // Behind a true moment, too: almost one is the hardest.
  for (const auto& utc : {text, std::string("2026-11-26T09:15:00.250Z").replace(0, std::min<std::size_t>(text.size(), 24), text)}) {
    const auto read = journal::moment_of(utc);
    promise(journal::moment_of(journal::utc_text(read)) == read || read == journal::Moment{}, "a moment that was written is read as the same", utc);
    promise(!journal::local_text(utc, 60).empty() || utc.empty(), "a moment has words", utc);
  }
}
void inches(const std::string& text) {
  const auto said = app::in_inches(text);
  promise(!text.empty() || said.empty(), "nothing said is nothing in inches, too");
  app::speaks_inches(text);
}
void word(const std::string& text) { app::nearest_word(text.substr(0, 60), {"--rpm", "--flutes", "--diameter-mm", "review"}); }
void outside_text(const std::string& text) {
  const auto clean = text::clean_lines(text);
  promise(text::clean_lines(clean) == clean, "what is clean stays as it is", text);
  const auto written = app::dump(app::Json{{"text", text}}, -1);
  promise(written.find('\n') == std::string::npos, "a document in one line is in one line", written);
  const auto read = app::Json::parse(written, nullptr, false);
  promise(!read.is_discarded() && read.contains("text") && read["text"].is_string(), "a document that was written can be read", written);
  promise(app::Json::accept(app::dump(read, 2)), "a document that was written can be read", written);
  const auto escaped = report::escaped(text);
  promise(escaped.find_first_of("<>\"'") == std::string::npos, "signs of HTML are references", text);
}
void table(const std::string& text) {
  const auto rows = app::to_csv({{"name"}, {{journal::Value(text)}}});
  promise(rows.starts_with("name\r\n") && rows.ends_with("\r\n"), "a table has lines", rows);
  const auto cell = rows.substr(6, rows.size() - 8);
  promise(cell.empty() || std::string_view("=+-@\t").find(cell.front()) == std::string_view::npos, "a spreadsheet finds no formula", cell);
}
void title(const std::string& text) {
  const auto name = setup::file_name_for(text);
  promise(!name.empty() && name.size() < 200 && name.front() != '.' && name.find('/') == std::string::npos, "a name is one of a file", name);
}
void typed(const std::string& text) {
  dashboard::LineEditor editor;
  editor.start({});
  Food food(Input(reinterpret_cast<const std::uint8_t*>(text.data()), text.size()));
  constexpr const char* kKeys[] = {"Left", "Right", "Home", "End", "Backspace", "Delete", "Up", ""};
  while (!food.empty()) {
    const std::uint8_t what = food.byte();
    if (what >= 0xf8)
      editor.press(kKeys[what - 0xf8]);
    else if (what >= 0xf0)
      editor.type(static_cast<char32_t>(food.word(3)));
    else
      editor.type(what);
    promise(editor.caret() <= editor.text().size(), "the caret stands in the line", editor.text());
    promise(text::clean_lines(editor.text()) == editor.text(), "what was typed is whole", editor.text());
  }
}

constexpr void (*kReaders[])(const std::string&) = {number, whole, timed, range, list, trial, trials, moment, inches, word, outside_text, table, title, typed};

}  // namespace

void short_text(Input input) {
  Food food(input);
  const auto reader = kReaders[food.below(std::size(kReaders))];
  const std::string text(input.begin() + (input.empty() ? 0 : 1), input.end());
  try {
    reader(text);
  } catch (const std::invalid_argument& refused) {
    promise_one_line(refused.what());
  }
}

}  // namespace hushmill::fuzz
