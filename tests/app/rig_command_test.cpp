// `hushmill rig`: the simulated machine as a file, with its truth in a text beside it.
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>

#include "app/bench_folder.hpp"
#include "support/catch.hpp"
#include "support/temporary_folder.hpp"
#include "support/wav.hpp"

using namespace hushmill;

namespace {
std::string text_of(const std::filesystem::path& file) {
  std::ostringstream text;
  text << std::ifstream(file).rdbuf();
  return text.str();
}
}  // namespace

TEST_CASE("the same seed gives the same bytes, another seed others") {
  const test::BenchFolder bench;
  bench.simulate("one.wav", {"--seed", "7", "--for-s", "3", "--air-s", "0.5"});
  bench.simulate("two.wav", {"--seed", "7", "--for-s", "3", "--air-s", "0.5"});
  bench.simulate("other.wav", {"--seed", "8", "--for-s", "3", "--air-s", "0.5"});
  const auto one = test::file_bytes(bench.path("one.wav"));
  REQUIRE(one.size() > 200000);
  CHECK(one == test::file_bytes(bench.path("two.wav")));
  CHECK(one != test::file_bytes(bench.path("other.wav")));
}

TEST_CASE("the text beside the sound says what was cut, the seed and the true onset") {
  const test::BenchFolder bench;
  bench.simulate("cut.wav", {"--scene", "bracket-wall", "--seed", "5", "--rpm", "6700", "--radial-mm", "5",
                             "--depth-at", "3:3.2", "--rpm-at", "5:6000", "--for-s", "6"});
  const auto text = text_of(bench.path("cut.txt"));
  for (const char* line :
       {"imulated", "seed: 5\n", "spindle_rpm: 6700\n", "radial_mm: 5\n", "flutes: 4\n", "diameter_mm: 12\n",
        "duration_s: 6\n", "sample_rate_hz: 48000\n", "depth_mm 3.2", "spindle_rpm 6000"}) {
    INFO(line << " in\n" << text);
    CHECK(text.find(line) != std::string::npos);
  }
  CHECK(bench.true_onset_s("cut.wav") > 3.0);
  CHECK(bench.true_onset_s("cut.wav") < 4.0);
}

TEST_CASE("a healthy cut has no onset, and says so") {
  const test::BenchFolder bench;
  bench.simulate("calm.wav", test::kHealthyWall);
  CHECK(bench.true_onset_s("calm.wav") < 0);
}

TEST_CASE("length and sample rate are as asked for, in WAV and in FLAC") {
  const test::BenchFolder bench;
  bench.simulate("cut.wav", {"--for-s", "2.5", "--sample-rate-hz", "44100"});
  const auto sound = test::read_16_bit_wav(bench.path("cut.wav"));
  CHECK(sound.sample_rate_hz == 44100);
  CHECK(sound.samples.size() == 110250);
  bench.simulate("cut.flac", {"--for-s", "2.5", "--sample-rate-hz", "44100"});
  const auto document = bench.review("cut.flac", "6800", "4");
  CHECK(document.at("duration_s") == 2.5);
  CHECK(document.at("sample_rate_hz") == 44100);
}

TEST_CASE("a folder that takes no file is the outside's failure: code 1, one line that names the file") {
  const test::BenchFolder bench;
  const std::string out = "/proc/cut.wav";  // not even root may write there
  CHECK(test::complaint_trouble(bench.hushmill({"rig", "--out", out, "--for-s", "1"}), 1, {out, "would be right"}) ==
        "");
}
