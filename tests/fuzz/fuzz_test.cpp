#include "fuzz/replay.hpp"
#include "support/catch.hpp"

using namespace hushmill;

TEST_CASE("sounds and speeds of the fuzz corpus do the engine no harm") { fuzz::replay("listener", fuzz::listener, 200); }
TEST_CASE("sound files of the fuzz corpus do no harm") { fuzz::replay("recording", fuzz::recording, 600); }
TEST_CASE("set-up files of the fuzz corpus do no harm") { fuzz::replay("setup_files", fuzz::setup_files, 60); }
TEST_CASE("cut sheets of the fuzz corpus do no harm") { fuzz::replay("sheets", fuzz::sheets, 600); }
TEST_CASE("sounds of the fuzz corpus do the tap test no harm") { fuzz::replay("tap_test", fuzz::tap_test, 10); }
TEST_CASE("long sounds of the fuzz corpus do the engine no harm") { fuzz::replay("long_sound", fuzz::long_sound, 12); }
