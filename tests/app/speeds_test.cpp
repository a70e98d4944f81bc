// `hushmill speeds`: advice from a frequency, without sound.
#include <cmath>
#include <string>

#include "app/bench_folder.hpp"
#include "app/document_shape.hpp"
#include "support/catch.hpp"

using namespace hushmill;
using test::Json;
using test::WithinAbs;
using test::WithinRel;
using test::Words;

namespace {

Json speeds(const test::BenchFolder& bench, const char* chatter_hz, const char* rpm, const char* flutes,
            const Words& more = {}) {
  Words words{"speeds", "--chatter-hz", chatter_hz, "--rpm", rpm, "--flutes", flutes, "--json"};
  words.insert(words.end(), more.begin(), more.end());
  return bench.json_of(words);
}

}  // namespace

TEST_CASE("the plain rule's worked examples come out") {
  // n = 60·f_c/(N·j), nearest up j = floor(f_c/f_tooth), nearest down j + 1: S. Smith, T. Delio, "Sensor-Based Chatter
  // Detection and Avoidance by Spindle Speed", ASME J. Dyn. Syst. Meas. Control 114 (1992) 486-492 (from memory). The
  // numbers are worked out by hand from that rule.
  struct Example {
    const char *chatter_hz, *rpm, *flutes;
    int lower_lobe;
    double lower_rpm, higher_rpm;
  };
  constexpr Example kExamples[] = {
      {"940", "8000", "4", 2, 7050, 14100},
      {"942.7", "5000", "2", 6, 4713.5, 5656.2},
      // n = 60·f_n/(N·k): T. L. Schmitz, K. S. Smith, "Machining Dynamics", Springer 2009 (formula from memory):
      // 922 Hz and 2 teeth: 27660, 13830, 9220 …; 500 Hz and 4 teeth: 7500, 3750, 2500 ….
      {"922", "10000", "2", 3, 9220, 13830},
      {"500", "3000", "4", 3, 2500, 3750},
  };
  const test::BenchFolder bench;
  for (const Example& example : kExamples) {
    INFO(example.chatter_hz << " Hz at " << example.rpm);
    const auto advice = speeds(bench, example.chatter_hz, example.rpm, example.flutes);
    CHECK(test::advice_shape_trouble(advice) == "");
    REQUIRE(advice.at("lower").is_object());
    REQUIRE(advice.at("higher").is_object());
    CHECK(advice.at("lower").at("lobe") == example.lower_lobe);
    CHECK(advice.at("higher").at("lobe") == example.lower_lobe - 1);
    CHECK_THAT(advice.at("lower").at("plain_spindle_rpm").get<double>(), WithinAbs(example.lower_rpm, 0.01));
    CHECK_THAT(advice.at("higher").at("plain_spindle_rpm").get<double>(), WithinAbs(example.higher_rpm, 0.01));
    CHECK(advice.at("lower").at("spindle_rpm") < std::stod(example.rpm));
    CHECK(advice.at("higher").at("spindle_rpm") > std::stod(example.rpm));
  }
}

TEST_CASE("no speed beyond a limit is advised, whichever limit it is") {
  const test::BenchFolder bench;
  const auto within = [&](const Words& limits, double low, double high) {
    const auto advice = speeds(bench, "940", "8000", "4", limits);
    CHECK(test::advice_shape_trouble(advice) == "");
    CHECK_FALSE(advice.at("reason").get<std::string>().empty());
    for (const char* way : {"lower", "higher"}) {
      if (advice.at(way).is_null()) continue;
      INFO(limits.front() << " " << limits[1] << ": " << way << " " << advice.at(way).dump());
      CHECK(advice.at(way).at("spindle_rpm") >= low);
      CHECK(advice.at(way).at("spindle_rpm") <= high);
    }
    return advice;
  };
  for (const char* most : {"8200", "9000", "10000", "12000", "15000"}) {
    within({"--max-rpm", most}, 0, std::stod(most));
    within({"--tool-max-rpm", most, "--max-rpm", "24000"}, 0, std::stod(most));
  }
  for (const char* least : {"4000", "6000", "7000", "7800"}) within({"--min-rpm", least}, std::stod(least), 1e9);
  const auto nowhere = within({"--min-rpm", "7990", "--max-rpm", "8010"}, 7990, 8010);
  CHECK(nowhere.at("prefer").is_null() == (nowhere.at("lower").is_null() && nowhere.at("higher").is_null()));
}

TEST_CASE("override percent refers to the programmed speed and the feed keeps the chip load") {
  // f = f_z·N·n: H. A. El-Hofy, "Fundamentals of Machining Processes", p. 189: 0.1 mm, 8 teeth, 150 rev/min give 120
  // mm/min.
  const test::BenchFolder bench;
  const auto advice = speeds(bench, "33", "150", "8", {"--feed-mm-min", "120", "--programmed-rpm", "150"});
  bool any = false;
  for (const char* way : {"lower", "higher"}) {
    if (advice.at(way).is_null()) continue;
    any = true;
    const double rpm = advice.at(way).at("spindle_rpm");
    CHECK_THAT(advice.at(way).at("feed_mm_min").get<double>(), WithinRel(0.1 * 8 * rpm, 1e-4));
    CHECK_THAT(advice.at(way).at("override_percent").get<double>(), WithinAbs(100 * rpm / 150, 0.002));
  }
  CHECK(any);

  const auto of_other = speeds(bench, "940", "8000", "4", {"--programmed-rpm", "10000", "--knob-step-percent", "5"});
  REQUIRE(of_other.at("lower").is_object());
  const double rpm = of_other.at("lower").at("spindle_rpm");
  CHECK_THAT(of_other.at("lower").at("override_percent").get<double>(), WithinAbs(rpm / 100, 0.002));
  CHECK_THAT(of_other.at("lower").at("knob_percent").get<double>(), WithinAbs(5 * std::round(rpm / 500), 1e-9));
}

TEST_CASE("the same question has the same answer") {
  const test::BenchFolder bench;
  CHECK(speeds(bench, "1250", "6000", "4") == speeds(bench, "1250", "6000", "4"));
}

TEST_CASE("without --json the cautions stand beside the advice") {
  const test::BenchFolder bench;
  const auto run = bench.hushmill({"speeds", "--chatter-hz", "1250", "--rpm", "6000", "--flutes", "4"});
  CHECK(run.code == 0);
  for (const char* caution :
       {"Advice only", "Doors shut", "guards on", "lowest of spindle, holder and tool", "Shop rules"}) {
    INFO(caution);
    CHECK(run.out.find(caution) != std::string::npos);
  }
}

TEST_CASE("taps, holder, surface speed and the knob's reach bear on the advice, and what they bar is said") {
  const test::BenchFolder bench;
  const Words more{"--diameter-mm", "12",   "--surface-m-min", "150:450", "--tap-part",       "468",   "--tap-tool", "930",
                   "--max-rpm",     "10000", "--holder-max-rpm", "9000",    "--override-range", "50:120"};
  const auto advice = speeds(bench, "940", "8000", "4", more);
  CHECK(test::advice_shape_trouble(advice) == "");
  CHECK(advice.at("part_sings") == false);
  std::string barred;
  for (const Json& one : advice.at("barred")) barred += one.at("by").get<std::string>() + ";";
  CHECK(barred.find("the holder's maximum") != std::string::npos);
  CHECK(barred.find("lowest surface speed") != std::string::npos);
  CHECK(barred.find("part mode tapped at 468 Hz") != std::string::npos);
  for (const Json& candidate : advice.at("candidates")) {
    CHECK(candidate.at("spindle_rpm") <= 9000);
    CHECK(candidate.at("knob_percent") <= 120);
    CHECK(candidate.at("surface_m_min") >= 150);
  }
  CHECK_FALSE(advice.at("cautions").empty());

  Words words{"speeds", "--chatter-hz", "940", "--rpm", "8000", "--flutes", "4"};
  words.insert(words.end(), more.begin(), more.end());
  const auto text = bench.hushmill(words).out;
  for (const char* part : {"Barred: S7020 by tooth harmonic 1", "By the taps this is the tool's note (tapped at 930 Hz)", "likely quiet)", "m/min"})
    CHECK(text.find(part) != std::string::npos);
}

TEST_CASE("the spindle's power is not taken silently where it cannot be used") {
  const test::BenchFolder bench;
  CHECK(test::complaint_trouble(bench.hushmill({"speeds", "--chatter-hz", "940", "--rpm", "8000", "--flutes", "4", "--spindle-kw", "5"}), 2, {"--spindle-kw", "--cutting-n-mm2"}) == "");
}

TEST_CASE("high lobe numbers and the remedies are in the text") {
  const test::BenchFolder bench;
  const auto run = bench.hushmill({"speeds", "--chatter-hz", "2940", "--rpm", "3000", "--flutes", "4"});
  CHECK(run.out.find("High lobe numbers, 14.7 waves per tooth") != std::string::npos);
  CHECK(run.out.find("strongest first") != std::string::npos);
  CHECK(run.out.find("stick-out") != std::string::npos);
}
