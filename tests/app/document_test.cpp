// The document of `hushmill review --json`: its shape, and what its fields mean.
#include <cmath>
#include <set>
#include <string>

#include "app/bench_folder.hpp"
#include "app/document_shape.hpp"
#include "support/catch.hpp"

using namespace hushmill;
using test::Json;
using test::WithinAbs;
using test::WithinRel;

namespace {

// Advice keeps what the contract says of each number.
void check_candidate(const Json& candidate, double chatter_hz, int flutes, double programmed_rpm, double feed_mm_min,
                     double knob_step) {
  const double rpm = candidate.at("spindle_rpm");
  const int lobe = candidate.at("lobe");
  REQUIRE(lobe >= 1);
  CHECK_THAT(candidate.at("override_percent").get<double>(), WithinAbs(100 * rpm / programmed_rpm, 0.002));
  CHECK_THAT(candidate.at("feed_mm_min").get<double>(), WithinRel(feed_mm_min * rpm / programmed_rpm, 1e-5));
  CHECK_THAT(candidate.at("plain_spindle_rpm").get<double>(), WithinRel(60 * chatter_hz / (flutes * lobe), 1e-5));
  const double steps = candidate.at("knob_percent").get<double>() / knob_step;
  CHECK_THAT(steps, WithinAbs(std::round(steps), 1e-9));
  CHECK(std::abs(candidate.at("knob_percent").get<double>() - candidate.at("override_percent").get<double>()) <=
        knob_step / 2 + 1e-9);
  if (!candidate.at("likelihood").is_null()) {
    CHECK(candidate.at("likelihood") >= 0);
    CHECK(candidate.at("likelihood") <= 1);
  }
}

}  // namespace

TEST_CASE("a recording with chatter gives the whole document") {
  const test::BenchFolder bench;
  bench.simulate("wall.wav", test::kChatteringWall);
  const auto document = bench.review(
      "wall.wav", "6800", "4",
      {"--programmed-rpm",    "8500", "--feed-mm-min",   "2040",  "--diameter-mm",  "12",
       "--radial-mm",         "6",    "--depth-mm",      "3",     "--milling",      "climb",
       "--min-rpm",           "500",  "--max-rpm",       "18000", "--tool-max-rpm", "16000",
       "--knob-step-percent", "5",    "--damping-ratio", "0.03",  "--tried",        "9000:chattered@1300"});
  CHECK(test::shape_trouble(document) == "");
  CHECK(document.at("file").get<std::string>().find("wall.wav") != std::string::npos);
  CHECK(document.at("sample_rate_hz") == 48000);
  CHECK_THAT(document.at("duration_s").get<double>(), WithinAbs(7.0, 1e-4));
  CHECK(document.at("spindle_rpm").at("entered") == 6800);
  CHECK(document.at("verdict") == "chatter");

  const auto& episodes = document.at("episodes");
  REQUIRE(episodes.size() == 1);
  const Json& episode = episodes[0];
  CHECK(episode.at("start_s") <= episode.at("alert_s"));
  CHECK(episode.at("alert_s") < episode.at("end_s"));
  CHECK(episode.at("open") == true);
  CHECK(episode.at("end_s") == document.at("duration_s"));  // still going: the end of the sound
  CHECK(episode.at("chatter_share") > 0.5);
  CHECK(episode.at("chatter_share") <= 1.0);
  CHECK(episode.at("return_of").is_null());

  const Json& advice = document.at("advice");
  REQUIRE(advice.at("prefer").is_string());
  CHECK(advice.at(advice.at("prefer").get<std::string>()).is_object());
  CHECK_FALSE(advice.at("reason").get<std::string>().empty());
  for (const char* way : {"lower", "higher"}) {
    if (advice.at(way).is_null()) continue;
    INFO(way);
    check_candidate(advice.at(way), episode.at("chatter_hz"), 4, 8500, 2040, 5);
    const double rpm = advice.at(way).at("spindle_rpm");
    CHECK((std::string(way) == "lower" ? rpm < 6800 : rpm > 6800));
    CHECK(rpm >= 500);
    CHECK(rpm <= 16000);
  }
}

TEST_CASE("a recording without chatter advises nothing and says why") {
  const test::BenchFolder bench;
  bench.simulate("wall.wav", test::kHealthyWall);
  const auto document = bench.review("wall.wav", "6800", "4", {"--feed-mm-min", "1632"});
  CHECK(test::shape_trouble(document) == "");
  CHECK((document.at("verdict") == "steady" || document.at("verdict") == "forced_vibration"));
  CHECK(document.at("episodes").empty());
  for (const char* field : {"lower", "higher", "prefer"}) CHECK(document.at("advice").at(field).is_null());
  CHECK_FALSE(document.at("advice").at("reason").get<std::string>().empty());
}

TEST_CASE("without a feed there is none in the advice") {
  const test::BenchFolder bench;
  bench.simulate("wall.wav", test::kChatteringWall);
  const auto advice = bench.review("wall.wav", "6800", "4").at("advice");
  REQUIRE(advice.at("prefer").is_string());
  for (const char* way : {"lower", "higher"})
    if (advice.at(way).is_object()) CHECK(advice.at(way).at("feed_mm_min").is_null());
}

TEST_CASE("air alone is no cut: nothing measured, nothing advised") {
  const test::BenchFolder bench;
  bench.simulate("air.wav", {"--air-s", "60", "--for-s", "4"});
  const auto document = bench.review("air.wav", "6800", "4");
  CHECK(test::shape_trouble(document) == "");
  CHECK(document.at("verdict") == "no_cut");
  CHECK(document.at("cuts").empty());
  CHECK(document.at("spindle_rpm").at("measured").is_null());
  CHECK(document.at("spindle_rpm").at("uncertainty").is_null());
  CHECK_THAT(document.at("tooth_passing_hz").get<double>(), WithinAbs(6800.0 * 4 / 60, 1e-3));  // the entered speed's
}

TEST_CASE("the measured speed comes from the sound and not from what was entered") {
  const test::BenchFolder bench;
  bench.simulate("wall.wav", {"--scene", "bracket-wall", "--speed-error-percent", "1.5", "--for-s", "6"});
  const auto document = bench.review("wall.wav", "6800", "4");
  CHECK(document.at("spindle_rpm").at("entered") == 6800);
  REQUIRE(document.at("spindle_rpm").at("measured").is_number());
  const double measured = document.at("spindle_rpm").at("measured");
  CHECK_THAT(measured, WithinRel(6800 * 1.015, 0.001));  // the spindle sags a little under load
  CHECK(document.at("spindle_rpm").at("uncertainty") > 0);
  CHECK(document.at("spindle_rpm").at("uncertainty") < 10);
  CHECK_THAT(document.at("tooth_passing_hz").get<double>(), WithinAbs(measured * 4 / 60, 1e-3));
  bool warned = false;
  for (const Json& warning : document.at("warnings")) warned = warned || warning.at("code") == "speed_differs";
  CHECK(warned);
}

TEST_CASE("every change of the entered speed begins a stretch") {
  const test::BenchFolder bench;
  bench.simulate("wall.wav", {"--scene", "bracket-wall", "--rpm-at", "4:6000", "--for-s", "8"});
  const auto document = bench.review("wall.wav", "6800", "4", {"--rpm-at", "4:6000"});
  const auto& stretches = document.at("stretches");
  REQUIRE(stretches.size() == 2);
  CHECK(stretches[0].at("from_s") == 0);
  CHECK(stretches[0].at("entered") == 6800);
  CHECK_THAT(stretches[0].at("to_s").get<double>(), WithinAbs(4.0, 0.02));
  CHECK(stretches[1].at("from_s") == stretches[0].at("to_s"));
  CHECK(stretches[1].at("entered") == 6000);
  CHECK_THAT(stretches[1].at("to_s").get<double>(), WithinAbs(8.0, 1e-3));
  REQUIRE(stretches[0].at("measured").is_number());
  REQUIRE(stretches[1].at("measured").is_number());
  CHECK_THAT(stretches[0].at("measured").get<double>(), WithinRel(6800.0, 0.001));
  CHECK_THAT(stretches[1].at("measured").get<double>(), WithinRel(6000.0, 0.001));
  CHECK(document.at("spindle_rpm").at("entered") == 6800);
  CHECK(document.at("spindle_rpm").at("measured") == stretches[0].at("measured"));
}

TEST_CASE("warnings have codes of the closed list, each once, with a text") {
  const std::set<std::string> known{"bad_samples",      "clipped",          "silent",
                                    "no_room",          "speed_not_heard",  "speed_differs",
                                    "other_speed_fits", "unexplained_tone", "high_lobe",
                                    "faint", "dc_offset", "mains_hum",
                                    "dropped_samples", "one_sided", "sides_cancel",
                                    "rate_mismatch", "narrow_band", "noise_suppression",
                                    "automatic_gain"};
  const test::BenchFolder bench;
  bench.simulate("slot.wav", {"--scene", "rail-slot", "--air-s", "0.3", "--depth-mm", "1.4", "--for-s", "4"});
  const auto document = bench.review("slot.wav", "5000", "4");
  std::set<std::string> seen;
  for (const Json& warning : document.at("warnings")) {
    INFO(warning.dump());
    CHECK(known.count(warning.at("code")) == 1);
    CHECK(seen.insert(warning.at("code")).second);
    CHECK(warning.at("text").get<std::string>().size() > 10);
  }
  CHECK(seen.count("no_room") == 1);  // 0.3 s of air
}

TEST_CASE("without --json a person reads the verdict, the speeds and the cautions") {
  const test::BenchFolder bench;
  bench.simulate("wall.wav", test::kChatteringWall);
  const auto run = bench.hushmill({"review", bench.path("wall.wav"), "--rpm", "6800", "--flutes", "4"});
  CHECK(run.code == 0);
  CHECK(run.err.empty());
  const auto document = bench.review("wall.wav", "6800", "4");
  const auto& advice = document.at("advice");
  const auto& first = advice.at(advice.at("prefer").get<std::string>());
  CHECK(run.out.find("CHATTER") != std::string::npos);
  CHECK(run.out.find("S" + std::to_string(std::lround(first.at("spindle_rpm").get<double>()))) != std::string::npos);
  CHECK(run.out.find(advice.at("reason").get<std::string>()) != std::string::npos);
  for (const char* caution :
       {"Advice only", "Doors shut", "guards on", "lowest of spindle, holder and tool", "Shop rules"}) {
    INFO(caution);
    CHECK(run.out.find(caution) != std::string::npos);
  }
}
