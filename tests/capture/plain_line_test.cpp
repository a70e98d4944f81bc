#include "capture/plain_line.hpp"

#include <string>

#include "support/catch.hpp"

using namespace hushmill;

TEST_CASE("a text from outside loses what steers a terminal or hides what stands there, and nothing else") {
  using capture::plain_line;
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
}

TEST_CASE("a text of several lines keeps them") {
  CHECK(capture::plain_lines("one\x1b\ntwo\r\n") == "one?\ntwo?\n");
  CHECK(capture::plain_lines("").empty());
}
