#include "fuzz/replay.hpp"
#include "support/catch.hpp"

using namespace hushmill;

TEST_CASE("command lines of the fuzz corpus do no harm") { fuzz::replay("command_line", fuzz::command_line, 100); }
TEST_CASE("journal files of the fuzz corpus do no harm") { fuzz::replay("journal_file", fuzz::journal_file, 200); }
TEST_CASE("journal rows of the fuzz corpus do no harm") { fuzz::replay("journal_values", fuzz::journal_values, 100); }
TEST_CASE("last times of the fuzz corpus do no harm") { fuzz::replay("last_time", fuzz::last_time, 600); }
TEST_CASE("typed words of the fuzz corpus do no harm") { fuzz::replay("option_words", fuzz::option_words, 600); }
TEST_CASE("short texts of the fuzz corpus do no harm") { fuzz::replay("short_text", fuzz::short_text, 20000); }
