// With a microphone open the program and its sound libraries talk to the sound server of this machine and to nothing else.
#include <csignal>

#include "support/catch.hpp"
#include "support/child_process.hpp"
#include "support/sound_server.hpp"
#include "support/temporary_folder.hpp"

using namespace hushmill;

TEST_CASE("listening to a microphone asks for no socket of a network") {
  const test::SoundServer server(test::SoundServer::Pace::prompt);
  const test::TemporaryFolder folder;
  const auto run = [&](std::vector<std::string> words) {
    words.insert(words.begin(), HUSHMILL_NO_NETWORK);
    return test::ChildProcess({words, server.environment(), folder / "out.txt"}).wait(std::chrono::seconds(60));
  };
  REQUIRE(run({}) == 128 + SIGSYS);  // the filter bites
  CHECK(run({HUSHMILL_PROGRAM, "devices"}) == 0);
  CHECK(run({HUSHMILL_PROGRAM, "watch", "--source", "microphone", "--device", test::SoundServer::kMicrophone, "--rpm", "6800", "--flutes", "4",
             "--for-s", "1", "--no-journal"}) == 0);
}
