#include "text/file_ending.hpp"

#include "support/catch.hpp"

using hushmill::text::file_ending;

TEST_CASE("the ending of a name is told in small letters") {
  CHECK(file_ending("cut.wav") == ".wav");
  CHECK(file_ending("first.article/Cut.02.FLAC") == ".flac");
  CHECK(file_ending("first.article/cut").empty());
  CHECK(file_ending(".hidden").empty());
  CHECK(file_ending("").empty());
}
