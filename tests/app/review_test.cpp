// What a review says of simulated cuts, held against the simulator's own truth and a long spectrum by FFTW.
#include <cmath>
#include <string>
#include <utility>

#include "app/bench_folder.hpp"
#include "app/long_spectrum.hpp"
#include "support/catch.hpp"
#include "support/wav.hpp"

using namespace hushmill;
using test::Json;
using test::WithinAbs;
using test::WithinRel;
using test::Words;

namespace {

struct Scene {
  const char* name;
  const char* rpm;
  const char* deeper_mm;  // well outside the stable region
};
constexpr Scene kScenes[] = {{"bracket-wall", "6800", "3"}, {"rail-slot", "5000", "1.4"}};
constexpr int kFlutes = 4;
constexpr double kDeeperAtS = 4;

Words chattering(const Scene& scene, int seed) {
  return {"--scene", scene.name, "--seed", std::to_string(seed), "--depth-at", std::string("4:") + scene.deeper_mm,
          "--for-s", "7"};
}

// Cuts that go from healthy to chatter by the deeper pass.
const std::pair<Scene, int> kChattering[] = {{kScenes[0], 2}, {kScenes[0], 5}, {kScenes[1], 2}, {kScenes[1], 4}};

}  // namespace

TEST_CASE("a verdict that hangs on what was entered is not relied on where the sound contradicts it") {
  // The recording's teeth pass as those of 4 flutes at 6800 do; a third of that spacing explains them with 2 flutes, too.
  const test::BenchFolder bench;
  const auto run = bench.hushmill({"review", HUSHMILL_SOURCE_DIR "/recordings/bracket-chatter.flac", "--rpm", "6800", "--flutes", "2"});
  CHECK(run.code == 0);
  INFO(run.out);
  CHECK(run.out.find("not to be relied on: the sound does not fit what was entered") != std::string::npos);
  CHECK(run.out.find("confidence") == std::string::npos);
  CHECK(run.out.find("enter what is right first") != std::string::npos);
  CHECK(run.out.find("it is no chatter") == std::string::npos);
}

TEST_CASE("cuts well outside the stable region chatter, at the frequency that a long spectrum shows") {
  const test::BenchFolder bench;
  for (const auto& [scene, seed] : kChattering) {
    INFO(scene.name << ", seed " << seed);
    bench.simulate("cut.wav", chattering(scene, seed));
    const auto document = bench.review("cut.wav", scene.rpm, "4");
    CHECK(document.at("verdict") == "chatter");
    REQUIRE(document.at("episodes").size() == 1);
    const double heard_hz = document.at("episodes")[0].at("chatter_hz");

    const auto sound = test::read_16_bit_wav(bench.path("cut.wav"));
    const test::LongSpectrum spectrum(sound.samples, sound.sample_rate_hz, 5, 7);
    const double tooth_hz = std::stod(scene.rpm) * kFlutes / 60;
    const double line_hz = test::off_tooth_line_hz(spectrum, tooth_hz, 5000);
    INFO("heard " << heard_hz << " Hz, strongest off the teeth " << line_hz << " Hz");
    CHECK_THAT(heard_hz, WithinRel(line_hz, 0.005));
    CHECK(test::family_distance_hz(heard_hz, line_hz, tooth_hz) < 0.005 * heard_hz);
  }
}

TEST_CASE("cuts well inside the stable region do not chatter") {
  const test::BenchFolder bench;
  for (const Scene& scene : kScenes) {
    for (const int seed : {1, 2, 3}) {
      INFO(scene.name << ", seed " << seed);
      bench.simulate("cut.wav", {"--scene", scene.name, "--seed", std::to_string(seed), "--for-s", "6"});
      REQUIRE(bench.true_onset_s("cut.wav") < 0);
      const auto document = bench.review("cut.wav", scene.rpm, "4");
      CHECK((document.at("verdict") == "steady" || document.at("verdict") == "forced_vibration"));
      CHECK(document.at("episodes").empty());
      CHECK(document.at("foreign_tones").empty());  // the scene holds none
      REQUIRE(document.at("cuts").size() == 1);
      CHECK_THAT(document.at("cuts")[0].at("start_s").get<double>(), WithinAbs(2.0, 0.15));
    }
  }
}

TEST_CASE("the alarm comes after the cause and within half a second of the true onset") {
  // The simulator's onset: vibration out of step passes 20 % of the energy in step. The alarm may come before that, but
  // never before the deeper pass that is the cause.
  const test::BenchFolder bench;
  for (const auto& [scene, seed] : kChattering) {
    INFO(scene.name << ", seed " << seed);
    bench.simulate("cut.wav", chattering(scene, seed));
    const double onset_s = bench.true_onset_s("cut.wav");
    REQUIRE(onset_s > kDeeperAtS);
    const auto document = bench.review("cut.wav", scene.rpm, "4");
    REQUIRE(document.at("episodes").size() == 1);
    const double alert_s = document.at("episodes")[0].at("alert_s");
    CHECK(alert_s > kDeeperAtS);
    CHECK(alert_s < onset_s + 0.5);
  }
}

TEST_CASE("only samples up to the alarm count: cut off right after it, the alarm is the same") {
  const test::BenchFolder bench;
  const auto& [scene, seed] = kChattering[0];
  bench.simulate("cut.wav", chattering(scene, seed));
  const auto whole = bench.review("cut.wav", scene.rpm, "4");
  REQUIRE(whole.at("episodes").size() == 1);
  const double alert_s = whole.at("episodes")[0].at("alert_s");
  const auto sound = test::read_16_bit_wav(bench.path("cut.wav"));
  const auto cut_off_at = [&](double end_s) {
    const auto samples = static_cast<std::ptrdiff_t>(std::ceil(end_s * sound.sample_rate_hz - 1e-6));
    const std::vector<float> part(sound.samples.begin(), sound.samples.begin() + samples);
    test::write_bytes(bench.path("part.wav"), test::float_wav(static_cast<int>(sound.sample_rate_hz), 1, part));
    return bench.review("part.wav", scene.rpm, "4");
  };
  const auto just_after = cut_off_at(alert_s);
  CHECK(just_after.at("verdict") == "chatter");
  REQUIRE(just_after.at("episodes").size() == 1);
  CHECK(just_after.at("episodes")[0].at("alert_s") == whole.at("episodes")[0].at("alert_s"));
  CHECK(just_after.at("episodes")[0].at("kind") == whole.at("episodes")[0].at("kind"));
  // An alarm dated back to samples that could not yet have raised it would be found here.
  CHECK(cut_off_at(alert_s - 0.02).at("episodes").empty());
}

TEST_CASE("chatter of a cutter of unequal pitch is found when its angles are entered") {
  // 70-110-70-110 degrees in a full slot's half at 2900 rev/min: lines stand on twice the rotation frequency, not on the teeth's.
  const test::BenchFolder bench;
  bench.simulate("cut.wav", {"--setup", std::string(HUSHMILL_SOURCE_DIR) + "/config/bracket-wall-unequal.toml", "--depth-mm", "5", "--rpm", "2900", "--radial-mm", "11", "--seed", "6"});
  const auto document = bench.review("cut.wav", "2900", "4", {"--pitch-deg", "70,110,70,110"});
  CHECK(document.at("verdict") == "chatter");
  REQUIRE_FALSE(document.at("episodes").empty());
  const double heard_hz = document.at("episodes")[0].at("chatter_hz");
  const auto sound = test::read_16_bit_wav(bench.path("cut.wav"));
  const test::LongSpectrum spectrum(sound.samples, sound.sample_rate_hz, 5, 7);
  const double pattern_hz = 2 * document.at("spindle_rpm").at("measured").get<double>() / 60;
  const double line_hz = test::off_tooth_line_hz(spectrum, pattern_hz, 5000);
  CHECK(test::family_distance_hz(heard_hz, line_hz, pattern_hz) < 0.005 * heard_hz);
}

TEST_CASE("a change that cleared the chatter is said before the advice") {
  const test::BenchFolder bench;
  bench.simulate("cut.wav", {"--depth-at", "4:3", "--rpm-at", "7:6000", "--for-s", "12"});
  const auto run = bench.hushmill({"review", bench.path("cut.wav"), "--rpm", "6800", "--flutes", "4", "--rpm-at", "7:6000"});
  REQUIRE(run.code == 0);
  CHECK(run.out.find("At the end: S6000 held") != std::string::npos);
  const auto still = bench.hushmill({"review", bench.path("cut.wav"), "--rpm", "6800", "--flutes", "4", "--rpm-at", "11:6000"});
  CHECK(still.out.find("At the end: S6000 not enough cut to tell") != std::string::npos);
}
