// `hushmill microphone FILE` as a person would use it. All data are invented.
#include <cmath>
#include <numbers>
#include <string>
#include <vector>

#include "app/bench_folder.hpp"
#include "support/additive_shop.hpp"
#include "support/catch.hpp"
#include "support/wav.hpp"

using namespace hushmill;
using test::Json;

namespace {
/// Three seconds of room, two claps, a tone of five seconds and its quiet, 48 kHz.
std::vector<float> guided_check() {
  test::Chance chance(8);
  std::vector<float> x(48000 * 15);
  for (float& v : x) v = static_cast<float>(0.001 * chance.normal());
  for (const std::size_t at : {48000UL * 4, 48000UL * 5})
    for (std::size_t i = 0; i < 9600; ++i) x[at + i] += static_cast<float>(0.2 * chance.normal() * std::exp(-static_cast<double>(i) / 700));
  for (std::size_t i = 48000 * 6; i < 48000 * 11; ++i) x[i] += static_cast<float>(0.1 * std::sin(2 * std::numbers::pi * 1000 * static_cast<double>(i) / 48000));
  return x;
}

std::vector<float> two_channels(const std::vector<float>& left, float right_gain) {
  std::vector<float> both;
  for (const float v : left) {
    both.push_back(v);
    both.push_back(right_gain * v);
  }
  return both;
}

Json document_of(const test::ProgramRun& run) { return Json::parse(run.out); }
}  // namespace

TEST_CASE("a good recording of the check passes with exit code 0, in words and in JSON") {
  const test::BenchFolder bench;
  test::write_bytes(bench.path("check.wav"), test::float_wav(48000, 1, guided_check()));
  const auto run = bench.hushmill({"microphone", bench.path("check.wav"), "--json"});
  CHECK(run.code == 0);
  CHECK(run.err.empty());
  const auto document = document_of(run);
  CHECK(document.at("result") == "pass");
  CHECK(document.at("claps") == 2);
  CHECK(document.at("steady_tones_tried") == true);
  CHECK(document.at("faults").empty());
  CHECK(std::abs(document.at("tone").at("hz").get<double>() - 1000) < 1);
  CHECK(bench.hushmill({"microphone", bench.path("check.wav")}).out.find("PASS") != std::string::npos);
}

TEST_CASE("channels that cancel are named, and the one that is left is sound") {
  const test::BenchFolder bench;
  const auto left = guided_check();
  test::write_bytes(bench.path("opposite.wav"), test::float_wav(48000, 2, two_channels(left, -0.95F)));
  const auto mixed = bench.hushmill({"microphone", bench.path("opposite.wav"), "--json"});
  CHECK(mixed.code == 1);
  CHECK(document_of(mixed).at("faults")[0].at("code") == "sides_cancel");
  CHECK(bench.hushmill({"microphone", bench.path("opposite.wav"), "--channel", "left"}).code == 0);

  test::write_bytes(bench.path("one-side.wav"), test::float_wav(48000, 2, two_channels(left, 0.0F)));
  const auto right = bench.hushmill({"microphone", bench.path("one-side.wav"), "--channel", "right", "--json"});
  CHECK(right.code == 1);
  CHECK(document_of(right).at("faults")[0].at("code") == "one_sided");
}

TEST_CASE("review names the channels, too") {
  const test::BenchFolder bench;
  bench.simulate("cut.wav", test::kHealthyWall);
  const auto cut = test::read_16_bit_wav(bench.path("cut.wav"));
  test::write_bytes(bench.path("opposite.wav"), test::float_wav(48000, 2, two_channels(cut.samples, -1.0F)));
  const auto document = bench.review("opposite.wav", "6800", "4");
  bool named = false;
  for (const Json& warning : document.at("warnings")) named = named || warning.at("code") == "sides_cancel";
  CHECK(named);
}

TEST_CASE("a wrong question about the microphone is refused in one line") {
  const test::BenchFolder bench;
  CHECK(test::complaint_trouble(bench.hushmill({"microphone", "--source", "rig"}), 2, {"--source", "rig", "would be right"}) == "");
  CHECK(test::complaint_trouble(bench.hushmill({"microphone", bench.path("none.wav")}), 2, {"none.wav", "no such file", "would be right"}) == "");
  CHECK(test::complaint_trouble(bench.hushmill({"microphone", "--tone-hz", "9"}), 2, {"--tone-hz", "9", "would be right"}) == "");
}
