#include <cmath>
#include <random>
#include <vector>

#include "advise/advice.hpp"
#include "cutting/speeds.hpp"
#include "support/catch.hpp"

namespace {

using namespace hushmill::advise;
using hushmill::test::WithinAbs;
using hushmill::test::WithinRel;

Question question(double chatter_hz, double spindle_rpm, int flutes) {
  Question asked;
  asked.chatter_hz = chatter_hz;
  asked.spindle_rpm = spindle_rpm;
  asked.flutes = flutes;
  return asked;
}

TEST_CASE("worked examples of the plain rule") {
  // Derived (n = 60 f_c / (N k)): the rule is S. Smith, T. Delio, "Sensor-Based Chatter Detection and Avoidance by
  // Spindle Speed", 1992 (from memory).
  const Advice four = advise(question(940, 8000, 4));
  REQUIRE(four.lower);
  REQUIRE(four.higher);
  CHECK(four.lower->lobe == 2);
  CHECK(four.higher->lobe == 1);
  CHECK_THAT(four.lower->plain_spindle_rpm, WithinAbs(7050, 0.5));
  CHECK_THAT(four.higher->plain_spindle_rpm, WithinAbs(14100, 0.5));

  const Advice two = advise(question(942.7, 5000, 2));
  REQUIRE(two.lower);
  REQUIRE(two.higher);
  CHECK(two.lower->lobe == 6);
  CHECK(two.higher->lobe == 5);
  CHECK_THAT(two.lower->plain_spindle_rpm, WithinAbs(4714, 0.5));
  CHECK_THAT(two.higher->plain_spindle_rpm, WithinAbs(5656, 0.5));
}

TEST_CASE("the advised speed lies on the pocket's own side of the in-phase speed") {
  // Chatter above the natural frequency (phase 0.656): pocket below n_k = 60 f_n / (N k), f_n below f_c.
  const Advice above = advise(question(942.7, 5000, 2));
  CHECK(above.lower->spindle_rpm < above.lower->plain_spindle_rpm);
  CHECK(above.higher->spindle_rpm < above.higher->plain_spindle_rpm);
}

TEST_CASE("override and feed follow the programmed speed") {
  Question asked = question(940, 8000, 4);
  asked.programmed_rpm = 10000;
  asked.feed_mm_min = 2000;
  const Advice advice = advise(asked);
  for (const auto& candidate : {advice.lower, advice.higher}) {
    REQUIRE(candidate);
    CHECK_THAT(candidate->override_percent, WithinRel(candidate->spindle_rpm / 100, 1e-12));
    CHECK_THAT(*candidate->feed_mm_min, WithinRel(0.2 * candidate->spindle_rpm, 1e-12));
    CHECK_THAT(candidate->chip_load_ratio, WithinRel(10000 / candidate->spindle_rpm, 1e-12));
    CHECK_THAT(candidate->knob_percent / 10, WithinAbs(std::round(candidate->override_percent / 10), 1e-9));
  }
}

TEST_CASE("no advice leaves the limits, and every number is finite") {
  std::mt19937 draw(20260102);
  const auto between = [&](double low, double high) { return std::uniform_real_distribution<double>(low, high)(draw); };
  for (int i = 0; i < 60; ++i) {
    Question asked = question(std::exp(between(std::log(50), std::log(8000))),
                              std::exp(between(std::log(100), std::log(40000))), 1 + i % 8);
    const bool limited = i % 4 != 0;
    if (limited) {
      asked.min_rpm = asked.spindle_rpm * between(0.3, 1.1);
      asked.max_rpm = *asked.min_rpm * between(1.0, 4.0);
      if (i % 3 == 0) asked.tool_max_rpm = *asked.min_rpm * between(1.0, 2.0);
    }
    asked.feed_mm_min = 1000;
    const Advice advice = advise(asked);
    CHECK_FALSE(advice.reason.empty());
    CHECK_FALSE(advice.cautions.empty());
    CHECK(advice.prefer.has_value() == (advice.lower || advice.higher));
    std::vector<std::optional<Candidate>> all{advice.lower, advice.higher, advice.knob};
    all.insert(all.end(), advice.candidates.begin(), advice.candidates.end());
    for (const auto& candidate : all) {
      if (!candidate) continue;
      CHECK(candidate->likelihood.value_or(0.5) >= 0);
      CHECK(candidate->likelihood.value_or(0.5) <= 1);
      for (const double x : {candidate->spindle_rpm, candidate->override_percent, candidate->knob_percent,
                             *candidate->feed_mm_min, candidate->plain_spindle_rpm, candidate->width_from_rpm,
                             candidate->width_to_rpm, candidate->knob_rpm, candidate->depth_gain})
        CHECK(std::isfinite(x));
      CHECK(candidate->lobe >= 1);
      CHECK(candidate->width_from_rpm <= candidate->spindle_rpm);
      CHECK(candidate->spindle_rpm <= candidate->width_to_rpm);
      CHECK(candidate->spindle_rpm >= asked.min_rpm.value_or(10));
      CHECK(candidate->spindle_rpm <= asked.max_rpm.value_or(200000));
      CHECK(candidate->spindle_rpm <= asked.tool_max_rpm.value_or(200000));
    }
    if (advice.lower) CHECK(advice.lower->spindle_rpm < asked.spindle_rpm);
    if (advice.higher) CHECK(advice.higher->spindle_rpm > asked.spindle_rpm);
  }
}

TEST_CASE("questions at the far ends of the ranges are answered, too") {
  const double far_ends[][3] = {{100000, 10, 64}, {100000, 200000, 1}, {1, 200000, 64}, {1, 10, 1}, {100000, 10, 1}};
  for (const auto& end : far_ends) {
    const Advice advice = advise(question(end[0], end[1], static_cast<int>(end[2])));
    CHECK_FALSE(advice.reason.empty());
    for (const auto& candidate : {advice.lower, advice.higher}) {
      if (!candidate) continue;
      CHECK(std::isfinite(candidate->spindle_rpm));
      CHECK(candidate->lobe >= 1);
    }
  }
}

TEST_CASE("a long history is answered like a short one") {
  Question asked = question(940, 8000, 4);
  for (int i = 0; i < 40; ++i) asked.tried.push_back({8050.0 + 20 * i, Outcome::chattered, 940.0 + i});
  const Advice advice = advise(asked);
  REQUIRE(advice.prefer);
  for (const Candidate& candidate : advice.candidates)
    CHECK((candidate.spindle_rpm < 8000 || candidate.spindle_rpm > 8800));
}

TEST_CASE("the knob's own best is a whole step inside knob range and limits") {
  Question asked = question(940, 8000, 4);
  asked.min_rpm = 5000;
  asked.max_rpm = 11000;
  asked.knob_max_percent = 120;
  for (const double step : {1.0, 5.0, 10.0}) {
    asked.knob_step_percent = step;
    const Advice advice = advise(asked);
    REQUIRE(advice.knob);
    CHECK_THAT(advice.knob->knob_percent / step, WithinAbs(std::round(advice.knob->knob_percent / step), 1e-9));
    CHECK_THAT(advice.knob->spindle_rpm, WithinRel(advice.knob->knob_rpm, 1e-9));
    CHECK(advice.knob->knob_percent <= 120);
    CHECK(advice.knob->spindle_rpm >= 5000);
  }
}

TEST_CASE("a limit that hides a pocket is named") {
  Question asked = question(940, 8000, 4);
  asked.max_rpm = 10000;
  asked.tool_max_rpm = 9000;
  const Advice advice = advise(asked);
  REQUIRE_FALSE(advice.barred.empty());
  CHECK(advice.barred.front().by == "the tool's maximum");
  CHECK(advice.barred.front().spindle_rpm > 9000);
}

TEST_CASE("speeds whose tooth harmonics meet another tapped mode are left out") {
  // Without taps the best lower speed is near 7020 (468 Hz tooth passing); a part mode stands just there.
  Question asked = question(940, 8000, 4);
  const Advice before = advise(asked);
  const double tooth_hz = hushmill::cutting::tooth_passing_hz(before.lower->spindle_rpm, 4);
  asked.taps = {{tooth_hz, true}};
  const Advice after = advise(asked);
  for (const Candidate& candidate : after.candidates)
    CHECK(std::abs(hushmill::cutting::tooth_passing_hz(candidate.spindle_rpm, 4) / tooth_hz - 1) > 0.019);
}

TEST_CASE("a tap test's damping and a known engagement are taken in") {
  Question asked = question(940, 8000, 4);
  const Advice plain = advise(asked);
  asked.damping_ratio = 0.045;
  const Advice damped = advise(asked);
  CHECK(damped.natural_hz != plain.natural_hz);
  CHECK(*damped.lower->likelihood != *plain.lower->likelihood);
}

TEST_CASE("the same question has the same answer") {
  const Advice once = advise(question(1250, 6000, 4));
  const Advice again = advise(question(1250, 6000, 4));
  CHECK(once.lower->spindle_rpm == again.lower->spindle_rpm);
  CHECK(once.higher->spindle_rpm == again.higher->spindle_rpm);
  CHECK(once.reason == again.reason);
}

}  // namespace
