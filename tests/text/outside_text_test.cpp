#include "text/outside_text.hpp"

#include <string>

#include "support/catch.hpp"

using namespace hushmill;

TEST_CASE("a text from outside loses what steers a terminal or hides what stands there, and nothing else") {
  using text::plain_line;
  CHECK(plain_line("12 mm end mill, 4 flutes") == "12 mm end mill, 4 flutes");
  CHECK(plain_line("Fr\xC3\xA4ser \xE2\x82\xAC \xF0\x9F\x94\xA7") == "Fr\xC3\xA4ser \xE2\x82\xAC \xF0\x9F\x94\xA7");  // two, three, four bytes
  CHECK(plain_line("<script> ../../x") == "<script> ../../x");
  // ISO/IEC 6429: C0, delete, and C1 as UTF-8 writes it.
  CHECK(plain_line("a\x1b[31m\r\n\x7f" "b\xC2\x9B" "1m") == "a?[31m???b?1m");
  // Unicode Standard Annex #9, section 2, each of the marks, and the line and paragraph separators.
  for (const char* mark : {"\xD8\x9C", "\xE2\x80\x8E", "\xE2\x80\x8F", "\xE2\x80\xAA", "\xE2\x80\xAB", "\xE2\x80\xAC", "\xE2\x80\xAD", "\xE2\x80\xAE",
                           "\xE2\x81\xA6", "\xE2\x81\xA7", "\xE2\x81\xA8", "\xE2\x81\xA9", "\xE2\x80\xA8", "\xE2\x80\xA9"}) {
    CHECK(plain_line("x" + std::string(mark) + "y") == "x?y");
  }
  CHECK(plain_line("\xE2\x80\x93 \xE2\x81\xA5") == "\xE2\x80\x93 \xE2\x81\xA5");  // their neighbours stay
  // No UTF-8: a stray C1 byte, a sequence that breaks off, one that is longer than it need be.
  CHECK(plain_line("\x9B" "1m") == "?1m");
  CHECK(plain_line("a\xE2\x80") == "a??");
  CHECK(plain_line("\xC0\x9B") == "??");
  // The Unicode Standard 15.0, table 3-7: a surrogate, and what lies beyond the last code point.
  CHECK(plain_line("\xED\xA0\x80") == "???");
  CHECK(plain_line("\xF4\x90\x80\x80") == "????");
}

TEST_CASE("a text of several lines keeps them") {
  CHECK(text::plain_lines("one\x1b\ntwo\r\n") == "one?\ntwo?\n");
  CHECK(text::plain_lines("").empty());
}

TEST_CASE("what is drawn or written into a document keeps its lines and shows where something was") {
  CHECK(text::clean_lines("one\ttwo\nthree\x7F") == "one two\nthree ");
  CHECK(text::clean_lines("b\xC2\x9B" "1") == "b 1");
  CHECK(text::clean_lines("a\xE2\x80\xAE" "b\xFF") == "a\xEF\xBF\xBD" "b\xEF\xBF\xBD");
  CHECK(text::clean_lines("\xF0\x9F\x94\xA7") == "\xF0\x9F\x94\xA7");
}
