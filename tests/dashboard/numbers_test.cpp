// Numbers as written on the screen, and text made to fit by measuring.
#include <array>
#include <cmath>
#include <limits>

#include "dashboard/line_editor.hpp"
#include "dashboard/fit_cache.hpp"
#include "dashboard/numbers.hpp"
#include "dashboard/text_fit.hpp"
#include "plain.hpp"
#include "support/catch.hpp"

using namespace hushmill::dashboard;
using hushmill::test::plain;

namespace {

/// A font in which every byte is half as wide as it is high.
float half_em(std::string_view text, float size_px) { return static_cast<float>(text.size()) * size_px / 2; }

}  // namespace

TEST_CASE("numbers are grouped by three with a real minus") {
  CHECK(plain(grouped(5)) == "5");
  CHECK(plain(grouped(999)) == "999");
  CHECK(plain(grouped(5400)) == "5 400");
  CHECK(plain(grouped(1000000)) == "1 000 000");
  CHECK(plain(grouped(-99999.99, 2)) ==
        "\xE2\x88\x92"
        "99 999.99");
  CHECK(plain(grouped(-0.2)) == "0");
  CHECK(plain(grouped(999.6)) == "1 000");
  CHECK(grouped(std::numeric_limits<double>::quiet_NaN()) == kDash);
  CHECK(grouped(std::numeric_limits<double>::infinity()) == kDash);
  CHECK(plain(trimmed(4.50, 3)) == "4.5");
  CHECK(plain(trimmed(12.0, 3)) == "12");
  CHECK(plain(trimmed(1000, 2)) == "1 000");
  CHECK(plain(in_hz(1370.4)) == "1 370 Hz");
  CHECK(plain(in_hz(99.66)) == "99.7 Hz");
  CHECK(plain(in_percent(0.644)) == "64 %");
  CHECK(plain(in_time(7.55)) == "7.5 s");
  CHECK(plain(in_time(12.4)) == "12 s");
  CHECK(plain(in_time(185)) == "3 min 05 s");
  CHECK(plain(in_time(2 * 3600 + 14 * 60 + 9)) == "2 h 14 min");
  CHECK(in_time(-1) == kDash);
  CHECK(counted(1) == "one");
  CHECK(counted(12) == "12");
}

TEST_CASE("notes follow the standard tuning") {
  // ISO 16:1975, Acoustics, Standard tuning frequency: A in the treble stave is 440 Hz.
  CHECK(note_of(440) == "A4");
  CHECK(note_of(880) == "A5");
  CHECK(note_of(440 * std::pow(2.0, 3.0 / 12)) == "C5");
  CHECK(note_of(440 * std::pow(2.0, 0.25 / 12)) == "A4 +25 cents");
  CHECK(note_of(0).empty());
  CHECK(note_of(std::nan("")).empty());
}

TEST_CASE("a number has shorter spellings, the last of them short whatever its size") {
  const auto found = spellings(-99999.99, 2);
  REQUIRE(found.size() == 3);
  CHECK(plain(found[0]) ==
        "\xE2\x88\x92"
        "99 999.99");
  CHECK(plain(found[1]) ==
        "\xE2\x88\x92"
        "100 000");
  CHECK(found[2] == "-1.0e+05");
}

TEST_CASE("text fits by size first, then by lines, and is shortened only at the smallest size") {
  const std::array sizes{20.0F, 16.0F, 12.0F};
  FitSettings settings{100, 200, sizes, 1};
  CHECK(fit_text("ten chars.", settings, half_em).size_px == 20);
  CHECK(fit_text("twelve chars", settings, half_em).size_px == 16);
  const Fitted small = fit_text("sixteen charsss.", settings, half_em);
  CHECK(small.size_px == 12);
  CHECK_FALSE(small.shortened);
  const Fitted cut = fit_text("seventeen charss.", settings, half_em);
  CHECK(cut.shortened);
  CHECK(cut.line(0).substr(cut.line(0).size() - 3) == "\xE2\x80\xA6");
  CHECK(half_em(cut.line(0), cut.size_px) <= 100);

  settings.most_lines = 2;
  const Fitted wrapped = fit_text("twelve chars", settings, half_em);
  CHECK(wrapped.size_px == 20);
  CHECK(wrapped.text == "twelve\nchars");
  settings.height_px = 30;  // two lines need 12 + 1.28 · 12
  CHECK(fit_text("twelve chars", settings, half_em).size_px == 16);
  settings.height_px = 10;  // even one line does not fit: shown at the smallest size all the same
  CHECK(fit_text("a", settings, half_em).size_px == 12);
}

TEST_CASE("fitted text is never wider than its box, whatever the words") {
  const std::array sizes{30.0F, 20.0F, 12.0F};
  for (int length = 1; length < 200; length += 7) {
    for (float width = 40; width < 400; width += 33) {
      std::string words;
      for (int i = 0; i < length; ++i) words += i % 6 == 5 ? ' ' : static_cast<char>('a' + i % 26);
      const FitSettings settings{width, 60, sizes, 3};
      const Fitted fitted = fit_text(words, settings, half_em);
      CHECK(fitted.count() <= 3);
      each_line(fitted.text, [&](std::string_view line) { CHECK(half_em(line, fitted.size_px) <= width + 0.02F); });
    }
  }
}

TEST_CASE("a number that fits in no spelling is not shown rather than cut") {
  const std::array sizes{20.0F, 12.0F};
  const std::vector<Words> ways{"123456789", "1.2e8"};
  CHECK(fit_choice(ways, {60, 20, sizes, 1}, half_em).line(0) == "123456789");
  CHECK(fit_choice(ways, {32, 20, sizes, 1}, half_em).line(0) == "1.2e8");
  const Fitted none = fit_choice(ways, {10, 20, sizes, 1}, half_em);
  CHECK(none.text.empty());
  CHECK(none.shortened);
}

TEST_CASE("a character of several bytes is never cut in half") {
  const std::array sizes{12.0F};
  const Fitted fitted = fit_text("\xC3\xA4\xC3\xB6\xC3\xBC\xC3\xA4\xC3\xB6\xC3\xBC", {50, 20, sizes, 1}, half_em);
  REQUIRE(fitted.shortened);
  const std::string_view line = fitted.line(0);
  const std::string_view kept = line.substr(0, line.size() - 3);
  CHECK(kept.size() % 2 == 0);
}

TEST_CASE("a line is typed, moved in and mended") {
  LineEditor editor;
  editor.start("6000");
  CHECK(editor.all_selected());
  editor.type(U'5');
  CHECK(editor.text() == "5");
  editor.type(U'4');
  editor.press("Left");
  editor.type(U'9');
  CHECK(editor.text() == "594");
  editor.press("Delete");
  CHECK(editor.text() == "59");
  editor.press("Backspace");
  editor.press("Backspace");
  editor.press("Backspace");
  CHECK(editor.text().empty());
  editor.type(U'\u00E4');
  editor.type(U'\n');
  CHECK(editor.text().empty());
  editor.start("7");
  editor.press("End");
  editor.type(U'0');
  CHECK(editor.text() == "70");
  for (int i = 0; i < 100; ++i) editor.type(U'1');
  CHECK(editor.text().size() == 32);
  CHECK_FALSE(editor.press("Up"));
}

TEST_CASE("a fit that is remembered is the fit that would be made, and its memory is bounded") {
  FitCache cache;
  int made = 0;
  const auto fit = [&](const std::string& words) {
    return [&made, words] {
      ++made;
      return Fitted{words, 12, false};
    };
  };
  const FitCache::Place place{100, 20, 15, 1, false};
  CHECK(cache.find("1 205 Hz", place, fit("1 205 Hz")).text == "1 205 Hz");
  cache.find("1 205 Hz", place, fit("1 205 Hz"));
  CHECK(made == 1);
  for (const FitCache::Place& other : {FitCache::Place{99, 20, 15, 1, false}, FitCache::Place{100, 20, 13, 1, false},
                                       FitCache::Place{100, 20, 15, 2, false}, FitCache::Place{100, 20, 15, 1, true}})
    cache.find("1 205 Hz", other, fit("1 205 Hz"));
  CHECK(made == 5);
  for (int i = 0; i < 10000; ++i) cache.find(std::to_string(i), place, fit(std::to_string(i)));
  CHECK(cache.find("9999", place, fit("wrong")).text == "9999");
  CHECK(cache.find("0", place, fit("forgotten")).text == "forgotten");
}
