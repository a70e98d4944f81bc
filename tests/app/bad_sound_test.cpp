// Files that cannot be reviewed, and files that can although something is wrong with them.
#include <algorithm>
#include <cmath>
#include <limits>
#include <string>
#include <vector>

#include "app/bench_folder.hpp"
#include "support/additive_shop.hpp"
#include "support/catch.hpp"
#include "support/wav.hpp"

using namespace hushmill;
using test::Json;
using test::WithinAbs;
using test::WithinRel;

namespace {

std::vector<float> noise(std::size_t size, double deviation) {
  test::Chance chance(9);
  std::vector<float> samples(size);
  for (float& x : samples) x = static_cast<float>(deviation * chance.normal());
  return samples;
}

bool warned_of(const Json& document, const std::string& code) {
  for (const Json& warning : document.at("warnings"))
    if (warning.at("code") == code) return true;
  return false;
}

std::string refusal(const test::BenchFolder& bench, const std::string& path, const char* found) {
  const auto run = bench.hushmill({"review", path, "--rpm", "6000", "--flutes", "4", "--json"});
  return test::complaint_trouble(run, 2, {path, found, "would be right"});
}

}  // namespace

TEST_CASE("what is no recording is refused in one line that names the file") {
  const test::BenchFolder bench;
  const auto file = [&](const std::string& name, const std::vector<std::uint8_t>& bytes) {
    test::write_bytes(bench.path(name), bytes);
    return bench.path(name);
  };
  const std::string words = "the operator wrote this by hand";
  CHECK(refusal(bench, bench.path("missing.wav"), "no such file") == "");
  CHECK(refusal(bench, bench.path("."), "folder") == "");
  CHECK(refusal(bench, file("empty.wav", {}), "empty") == "");
  CHECK(refusal(bench, file("words.wav", {words.begin(), words.end()}), "not sound") == "");

  auto bytes = test::float_wav(48000, 1, {});
  CHECK(refusal(bench, file("header-only.wav", bytes), "no sound") == "");
  bytes.resize(20);
  CHECK(refusal(bench, file("half-a-header.wav", bytes), "not sound") == "");
  CHECK(refusal(bench, file("slow.wav", test::float_wav(8000, 1, noise(16000, 0.1))), "8000 Hz") == "");
  CHECK(refusal(bench, file("fast.wav", test::float_wav(1000000, 1, noise(48000, 0.1))), "1000000 Hz") == "");
  auto none = test::float_wav(48000, 1, noise(48000, 0.1));
  none[22] = none[23] = 0;  // where a WAV header counts its channels
  CHECK(refusal(bench, file("none.wav", none), "none.wav") == "");
  CHECK(refusal(bench, file("three.wav", test::float_wav(48000, 3, noise(48000, 0.1))), "3 channels") == "");
}

TEST_CASE("a recording shorter than ten revolutions is refused, at ten it is not") {
  const test::BenchFolder bench;
  test::write_bytes(bench.path("short.wav"), test::float_wav(16000, 1, noise(1599, 0.01)));  // 0.0999 s at 6000 rev/min
  CHECK(refusal(bench, bench.path("short.wav"), "ten revolutions") == "");
  test::write_bytes(bench.path("enough.wav"), test::float_wav(16000, 1, noise(1600, 0.01)));
  CHECK(bench.review("enough.wav", "6000", "4").at("verdict") == "no_cut");
}

TEST_CASE("a header that promises more than the file holds: what is there is reviewed, and a line says so") {
  const test::BenchFolder bench;
  auto bytes = test::float_wav(48000, 1, noise(96000, 0.01));
  bytes.resize(bytes.size() - 4 * 24000);
  test::write_bytes(bench.path("broken-off.wav"), bytes);
  const auto run = bench.hushmill({"review", bench.path("broken-off.wav"), "--rpm", "6000", "--flutes", "4", "--json"});
  CHECK(run.code == 0);
  CHECK(std::count(run.err.begin(), run.err.end(), '\n') == 1);
  CHECK(run.err.find("broken-off.wav") != std::string::npos);
  CHECK(run.err.find("1.50 s") != std::string::npos);
  CHECK_THAT(Json::parse(run.out).at("duration_s").get<double>(), WithinAbs(1.5, 1e-4));
}

TEST_CASE("samples that are no numbers are silenced and warned of, and change nothing else") {
  const test::BenchFolder bench;
  bench.simulate("wall.wav", test::kChatteringWall);
  auto sound = test::read_16_bit_wav(bench.path("wall.wav"));
  test::write_bytes(bench.path("clean.wav"), test::float_wav(48000, 1, sound.samples));
  constexpr float kBad[] = {std::numeric_limits<float>::quiet_NaN(), std::numeric_limits<float>::infinity(),
                            -std::numeric_limits<float>::infinity()};
  for (std::size_t i = 0; i < 30; ++i) sound.samples[10000 + 10007 * i] = kBad[i % 3];
  test::write_bytes(bench.path("bad.wav"), test::float_wav(48000, 1, sound.samples));

  const auto clean = bench.review("clean.wav", "6800", "4");
  const auto bad = bench.review("bad.wav", "6800", "4");
  CHECK_FALSE(warned_of(clean, "bad_samples"));
  CHECK(warned_of(bad, "bad_samples"));
  CHECK(bad.at("verdict") == "chatter");
  REQUIRE(bad.at("episodes").size() == clean.at("episodes").size());
  CHECK_THAT(bad.at("episodes")[0].at("chatter_hz").get<double>(),
             WithinRel(clean.at("episodes")[0].at("chatter_hz").get<double>(), 0.001));
}

TEST_CASE("a file of nothing but NaN is no crash and no chatter") {
  const test::BenchFolder bench;
  const std::vector<float> samples(96000, std::numeric_limits<float>::quiet_NaN());
  test::write_bytes(bench.path("nan.wav"), test::float_wav(48000, 1, samples));
  const auto document = bench.review("nan.wav", "6000", "4");
  CHECK(document.at("verdict") == "no_cut");
  CHECK(document.at("spindle_rpm").at("measured").is_null());
  CHECK(warned_of(document, "bad_samples"));
}

TEST_CASE("the channel that is chosen is the one that is heard") {
  const test::BenchFolder bench;
  bench.simulate("cut.wav", test::kChatteringWall);
  bench.simulate("air.wav", {"--for-s", "7", "--air-s", "60"});
  const auto cut = test::read_16_bit_wav(bench.path("cut.wav"));
  const auto air = test::read_16_bit_wav(bench.path("air.wav"));
  REQUIRE(cut.samples.size() == air.samples.size());
  std::vector<float> both;
  for (std::size_t i = 0; i < cut.samples.size(); ++i) {
    both.push_back(cut.samples[i]);
    both.push_back(air.samples[i]);
  }
  test::write_bytes(bench.path("both.wav"), test::float_wav(48000, 2, both));
  CHECK(bench.review("both.wav", "6800", "4", {"--channel", "left"}).at("verdict") == "chatter");
  CHECK(bench.review("both.wav", "6800", "4", {"--channel", "right"}).at("verdict") == "no_cut");
  const auto mixed = bench.review("both.wav", "6800", "4");
  CHECK(mixed.at("verdict") == "chatter");
  CHECK(mixed == bench.review("both.wav", "6800", "4", {"--channel", "mix"}));
}

TEST_CASE("a recording's sample rate does not change the verdict") {
  const test::BenchFolder bench;
  for (const char* rate : {"16000", "44100", "48000", "96000", "192000"}) {
    INFO(rate << " Hz");
    bench.simulate("cut.wav", {"--scene", "rail-slot", "--seed", "2", "--depth-at", "4:1.4", "--for-s", "7",
                               "--sample-rate-hz", rate});
    const auto document = bench.review("cut.wav", "5000", "4");
    CHECK(document.at("sample_rate_hz") == std::stod(rate));
    CHECK(document.at("verdict") == "chatter");
    REQUIRE(document.at("episodes").size() == 1);
    const Json& episode = document.at("episodes")[0];
    CHECK_THAT(episode.at("chatter_hz").get<double>(), WithinRel(890.6, 0.005));  // heard at 48 kHz
    CHECK(episode.at("alert_s").get<double>() > 4.0);
    CHECK(episode.at("alert_s").get<double>() < bench.true_onset_s("cut.wav") + 0.5);
  }
}
