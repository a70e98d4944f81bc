// The built program on a real sound server: a chattering cut is played, the terminal monitor hears it through a
// microphone and names the tone that a review of the file names.
#include <algorithm>
#include <chrono>
#include <string>
#include <thread>
#include <vector>

#include "app/bench_folder.hpp"
#include "support/catch.hpp"
#include "support/child_process.hpp"
#include "support/sound_server.hpp"
#include "support/temporary_folder.hpp"

using namespace hushmill;
using test::Json;

namespace {

std::vector<Json> lines_of(const std::filesystem::path& file) {
  const auto bytes = test::file_bytes(file);
  std::vector<Json> lines;
  std::string line;
  for (const auto byte : bytes) {
    if (byte != '\n') {
      line += static_cast<char>(byte);
    } else {
      lines.push_back(Json::parse(line));
      line.clear();
    }
  }
  return lines;
}

std::size_t count(const std::vector<Json>& lines, const std::string& event) {
  return static_cast<std::size_t>(
      std::count_if(lines.begin(), lines.end(), [&](const Json& line) { return line.at("event") == event; }));
}

}  // namespace

TEST_CASE("hushmill watch reports the onset of chatter that a sound server plays into its microphone") {
  const test::BenchFolder bench;
  // Three seconds of room first: the monitor may still be opening the device.
  bench.simulate("cut.wav", {"--scene", "bracket-wall", "--depth-at", "4:3", "--for-s", "8"});
  const Json document = bench.review("cut.wav", "6800", "4");
  REQUIRE_FALSE(document.at("episodes").empty());

  const test::SoundServer server;
  const test::TemporaryFolder folder;
  test::ChildProcess monitor(
      {{HUSHMILL_PROGRAM, "watch", "--source", "microphone", "--device", test::SoundServer::kMicrophone, "--rpm",
        "6800", "--flutes", "4", "--for-s", "13", "--json"},
       server.environment(),
       folder / "watch.json"});
  std::this_thread::sleep_for(std::chrono::seconds(3));  // the null sink wakes up, and the room is learned
  auto player = server.play(bench.path("cut.wav"));
  CHECK(player.wait(std::chrono::seconds(30)) == 0);
  REQUIRE(monitor.wait(std::chrono::seconds(60)) == 0);

  const auto lines = lines_of(folder / "watch.json");
  INFO(lines.size() << " events");
  CHECK(count(lines, "cut_begins") >= 1);
  REQUIRE(count(lines, "chatter_onset") >= 1);
  const auto onset =
      std::find_if(lines.begin(), lines.end(), [](const Json& line) { return line.at("event") == "chatter_onset"; });
  const auto heard_hz = onset->at("chatter_hz").get<double>();
  const auto expected_hz = document.at("episodes").front().at("chatter_hz").get<double>();
  CHECK_THAT(heard_hz, test::WithinRel(expected_hz, 0.005));
}

TEST_CASE("hushmill devices lists the microphone, and a name that is not there is refused in one line") {
  const test::SoundServer server;
  const test::TemporaryFolder folder;
  test::ChildProcess devices({{HUSHMILL_PROGRAM, "devices"}, server.environment(), folder / "devices.txt"});
  CHECK(devices.wait(std::chrono::seconds(20)) == 0);
  const auto listed = test::file_bytes(folder / "devices.txt");
  CHECK(std::string(listed.begin(), listed.end()).find(test::SoundServer::kMicrophone) != std::string::npos);

  test::ChildProcess wrong({{HUSHMILL_PROGRAM, "watch", "--source", "microphone", "--device", "no such thing", "--rpm",
                             "6000", "--flutes", "4", "--for-s", "1"},
                            server.environment(),
                            folder / "wrong.txt"});
  CHECK(wrong.wait(std::chrono::seconds(20)) == 2);
  const auto told = test::file_bytes(folder / "wrong.txt");
  const std::string text(told.begin(), told.end());
  CHECK(text.find("microphone 'no such thing': no such device;") != std::string::npos);
  CHECK(std::count(text.begin(), text.end(), '\n') == 1);
}

TEST_CASE("a microphone that stays away is named, waited for while there is sound left to hear, and ends with the outside's exit code") {
  test::SoundServer server;
  const test::TemporaryFolder folder;
  test::ChildProcess monitor(
      {{HUSHMILL_PROGRAM, "watch", "--source", "microphone", "--device", test::SoundServer::kMicrophone, "--rpm",
        "6800", "--flutes", "4", "--for-s", "8", "--json"},
       server.environment(),
       folder / "watch.txt"});
  std::this_thread::sleep_for(std::chrono::seconds(4));
  REQUIRE(monitor.running());
  server.stop();
  CHECK(monitor.wait(std::chrono::seconds(20)) == 1);
  const auto told = test::file_bytes(folder / "watch.txt");
  const std::string text(told.begin(), told.end());
  CHECK(text.find("microphone 'bench_microphone' is gone") != std::string::npos);
  CHECK(text.find("Expression") == std::string::npos);
}

TEST_CASE("the terminal monitor goes on when its microphone is back, and says where sound was lost and how much") {
  test::SoundServer server(test::SoundServer::Pace::prompt);
  const test::TemporaryFolder folder;
  test::ChildProcess monitor(
      {{HUSHMILL_PROGRAM, "watch", "--source", "microphone", "--device", test::SoundServer::kMicrophone, "--rpm",
        "6800", "--flutes", "4", "--for-s", "8", "--no-journal"},
       server.environment(),
       folder / "watch.txt"});
  std::this_thread::sleep_for(std::chrono::seconds(3));
  REQUIRE(monitor.running());
  server.unplug();
  std::this_thread::sleep_for(std::chrono::seconds(1));
  server.plug_in();
  CHECK(monitor.wait(std::chrono::seconds(30)) == 0);
  const auto told = test::file_bytes(folder / "watch.txt");
  const std::string text(told.begin(), told.end());
  INFO(text);
  CHECK(text.find("microphone 'bench_microphone' is gone") != std::string::npos);
  const auto line = text.find(" s  sound lost here: ");
  REQUIRE(line != std::string::npos);
  CHECK(text.find("sound lost here", line + 20) == std::string::npos);  // once
  CHECK(std::stod(text.substr(line + 21)) > 0.5);
  CHECK(text.find("    8.00 s  heard; ") != std::string::npos);  // all that was asked for, after the gap
}
