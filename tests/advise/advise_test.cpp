#include <algorithm>
#include <cmath>
#include <random>
#include <string>
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
  for (int i = 0; i < 36; ++i) {
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

TEST_CASE("a knob step has a likelihood of its own, and nothing is surer than 97 percent") {
  Question asked = question(940, 8000, 4);
  asked.knob_step_percent = 5;
  asked.tried = {{7400, Outcome::chattered, 905.0}, {8400, Outcome::chattered, 950.0}, {7000, Outcome::held, {}}};
  const Advice advice = advise(asked);
  std::vector<Candidate> all = advice.candidates;
  for (const auto& side : {advice.lower, advice.higher, advice.knob})
    if (side) all.push_back(*side);
  REQUIRE_FALSE(all.empty());
  for (const Candidate& candidate : all) {
    REQUIRE(candidate.likelihood);
    CHECK(*candidate.likelihood <= 0.97);
    const bool present = std::abs(candidate.knob_rpm / asked.spindle_rpm - 1) < 0.005;
    CHECK(candidate.knob_likelihood.has_value() == !present);
    if (candidate.knob_likelihood) CHECK(*candidate.knob_likelihood <= 0.97);
  }
}

TEST_CASE("the present speed is no step to turn to") {
  Question asked = question(940, 8000, 4);
  asked.knob_step_percent = 50;  // the nearest step of most speeds is where it stands
  const Advice advice = advise(asked);
  int at_present = 0;
  for (const Candidate& candidate : advice.candidates) {
    if (candidate.knob_rpm != 8000) continue;
    ++at_present;
    CHECK(candidate.knob_leaves_pocket);
  }
  CHECK(at_present > 0);
  if (advice.knob) CHECK(advice.knob->knob_rpm != 8000);
}

TEST_CASE("a present speed that no limit allows is pointed out") {
  const auto noted = [](const Question& asked) {
    for (const std::string& note : advise(asked).notes)
      if (note.find("present speed, 8000 rev/min") != std::string::npos) return note;
    return std::string();
  };
  Question asked = question(940, 8000, 4);
  CHECK(noted(asked).empty());
  asked.max_rpm = 7500;
  CHECK(noted(asked).find("above the spindle's maximum, 7500 rev/min") != std::string::npos);
  asked = question(940, 8000, 4);
  asked.min_rpm = 9000;
  CHECK(noted(asked).find("below the spindle's minimum, 9000 rev/min") != std::string::npos);
}

TEST_CASE("damping and engagement together leave a likelihood, whatever they are") {
  for (const double damping : {0.002, 0.03, 0.2, 0.5}) {
    for (const double radial_mm : {0.2, 6.0, 12.0}) {
      CAPTURE(damping, radial_mm);
      Question asked = question(940, 8000, 4);
      asked.damping_ratio = damping;
      asked.diameter_mm = 12;
      asked.radial_mm = radial_mm;
      asked.milling = Milling::climb;
      const Advice advice = advise(asked);
      REQUIRE(advice.lower);
      CHECK(advice.lower->likelihood);
    }
  }
}

TEST_CASE("a speed that another tapped mode bars is named with its reason") {
  Question asked = question(940, 8000, 4);
  asked.taps = {{930, false}, {468, true}};
  const Advice advice = advise(asked);
  const auto found = std::find_if(advice.barred.begin(), advice.barred.end(), [](const Barred& barred) {
    return barred.by == "tooth harmonic 1 meets the part mode tapped at 468 Hz and would shake it, though it does not chatter there";
  });
  REQUIRE(found != advice.barred.end());
  CHECK_THAT(found->spindle_rpm, WithinRel(7020, 1e-9));  // derived: 60 * 468 / 4
  for (const Barred& barred : advice.barred) CHECK(barred.by.find("930 Hz") == std::string::npos);
}

TEST_CASE("a speed on a tooth multiple of the mode that sings is marked") {
  Question asked = question(940, 8000, 4);
  const Advice before = advise(asked);
  // Derived: the second harmonic of the teeth, 8 n / 60, meets this tap exactly at the advised lower speed.
  asked.taps = {{8 * before.lower->spindle_rpm / 60, false}};
  const Advice after = advise(asked);
  REQUIRE(after.lower);
  const double miss = 8 * after.lower->spindle_rpm / 60 / asked.taps[0].hz - 1;
  CHECK((after.lower->on_harmonic == 2) == (std::abs(miss) < 0.01));
  bool said = false;
  for (const std::string& note : after.notes) said = said || note.find("loud and off size") != std::string::npos;
  CHECK((after.lower->on_harmonic == 0 || said));
}

TEST_CASE("a holder's limit, a surface speed and the knob's range are kept") {
  Question asked = question(940, 8000, 4);
  asked.diameter_mm = 12;
  asked.holder_max_rpm = 9000;
  asked.min_surface_m_min = 245;  // derived: 6499 rev/min at 12 mm
  asked.knob_min_percent = 85;
  asked.knob_max_percent = 105;
  asked.knob_step_percent = 5;
  const Advice advice = advise(asked);
  for (const Candidate& candidate : advice.candidates) {
    CHECK(candidate.spindle_rpm <= 9000);
    CHECK(*candidate.surface_m_min >= 245 - 1e-9);
    CHECK(candidate.knob_percent >= 85);
    CHECK(candidate.knob_percent <= 105);
  }
  REQUIRE(advice.knob);
  CHECK(advice.knob->knob_percent >= 85);
  CHECK(advice.knob->knob_percent <= 105);
}

TEST_CASE("a spindle's power bars the speeds that would need more") {
  Question asked = question(940, 8000, 4);
  asked.depth_mm = 3;
  asked.radial_mm = 6;
  asked.diameter_mm = 12;
  asked.feed_mm_min = 2000;
  asked.cutting_n_mm2 = 800;
  // Derived: 3 * 6 * 2000 * 800 / 60e6 = 0.48 kW at 8000 rev/min, so 0.51 kW are used up at 8500.
  asked.spindle_kw = 0.51;
  const Advice advice = advise(asked);
  for (const Candidate& candidate : advice.candidates) CHECK(candidate.spindle_rpm <= 8500);
  CHECK(std::any_of(advice.barred.begin(), advice.barred.end(),
                    [](const Barred& barred) { return barred.by == "the speed at which the spindle's power is used up"; }));
  asked.cutting_n_mm2.reset();  // without it nothing can be said of power
  const Advice open = advise(asked);
  CHECK(std::none_of(open.barred.begin(), open.barred.end(),
                     [](const Barred& barred) { return barred.by == "the speed at which the spindle's power is used up"; }));
}

TEST_CASE("high lobe numbers are said, and what helps more is ranked") {
  const Advice advice = advise(question(2940, 3000, 4));
  const bool said = std::any_of(advice.notes.begin(), advice.notes.end(), [](const std::string& note) {
    return note.find("14.7 waves per tooth") != std::string::npos;  // derived: 2940 * 60 / (3000 * 4)
  });
  CHECK(said);
  REQUIRE(advice.remedies.size() >= 3);
  for (std::size_t i = 1; i < advice.remedies.size(); ++i)
    CHECK(advice.remedies[i - 1].gain.value_or(0) >= advice.remedies[i].gain.value_or(0));
}

TEST_CASE("after a try far above the programmed speed the slow speeds are still in reach") {
  Question asked = question(1724, 5460, 5);
  asked.programmed_rpm = 3000;
  asked.min_rpm = 1320;
  asked.max_rpm = 5460;
  asked.tried = {{3000, Outcome::chattered, 1870.0}};
  const Advice advice = advise(asked);
  const bool slow = std::any_of(advice.candidates.begin(), advice.candidates.end(),
                                [](const Candidate& c) { return c.spindle_rpm < 5460 / 2.5; });
  CHECK(slow);
}

TEST_CASE("a direction that was named stays only where the other is no better") {
  Question asked = question(1250, 6000, 4);
  asked.max_rpm = 12000;
  const Advice plain = advise(asked);
  REQUIRE(plain.lower);
  REQUIRE(plain.higher);
  for (const Direction before : {Direction::lower, Direction::higher}) {
    asked.leaning = before;
    const Advice advice = advise(asked);
    CHECK(advice.lower->spindle_rpm == plain.lower->spindle_rpm);
    CHECK(advice.higher->spindle_rpm == plain.higher->spindle_rpm);
    const double lead = *advice.lower->likelihood - *advice.higher->likelihood;
    if (std::abs(lead) > 0.15) CHECK(advice.prefer == (lead > 0 ? Direction::lower : Direction::higher));
    if (advice.prefer != plain.prefer) CHECK(advice.prefer == before);
  }
}

TEST_CASE("the reason is one sentence that names direction, speed, likelihood and the other way") {
  const Advice advice = advise(question(940, 8000, 4));
  REQUIRE(advice.prefer);
  const Candidate& first = *advice.prefer == Direction::lower ? *advice.lower : *advice.higher;
  const Candidate& other = *advice.prefer == Direction::lower ? *advice.higher : *advice.lower;
  for (const double rpm : {first.spindle_rpm, other.spindle_rpm})
    CHECK(advice.reason.find(std::to_string(std::lround(rpm)) + " rev/min") != std::string::npos);
  CHECK(advice.reason.find(*advice.prefer == Direction::lower ? "Lower first" : "Higher first") == 0);
  CHECK(advice.reason.find('.') == advice.reason.size() - 1);
}

TEST_CASE("chatter at every speed tried is said, with other changes beside the speed") {
  Question asked = question(940, 8000, 4);
  asked.tried = {{7000, Outcome::chattered, 905.0}, {9000, Outcome::chattered, 950.0}};
  const auto said = [](const Advice& advice) {
    return std::any_of(advice.notes.begin(), advice.notes.end(), [](const std::string& note) {
      return note.find("at every speed tried") != std::string::npos;
    });
  };
  const Advice advice = advise(asked);
  CHECK(said(advice));
  CHECK_FALSE(advice.remedies.empty());
  asked.tried.back().outcome = Outcome::held;
  CHECK_FALSE(said(advise(asked)));
}

}  // namespace

TEST_CASE("a speed that has held on this cut is named first, and as such; one that also chattered is not") {
  Question asked = question(1205, 6800, 4);
  asked.max_rpm = 12000;
  asked.tried = {{6120, Outcome::held, {}}};
  const Advice advice = advise(asked);
  REQUIRE(advice.prefer == Direction::lower);
  CHECK(advice.lower->spindle_rpm == 6120);
  CHECK(advice.reason.find("6120 rev/min has held on this cut before") != std::string::npos);
  asked.tried.push_back({6120, Outcome::chattered, 1190.0});
  const Advice doubted = advise(asked);
  CHECK((!doubted.lower || doubted.lower->spindle_rpm != 6120));
  CHECK(std::any_of(doubted.notes.begin(), doubted.notes.end(), [](const std::string& note) { return note.find("S6120 held once and chattered once") == 0; }));
}

TEST_CASE("without an upper limit a likelier speed far up is passed over, and the reason says so") {
  Question asked = question(1250, 6000, 4);
  const Advice advice = advise(asked);
  REQUIRE(advice.prefer);
  REQUIRE_FALSE(advice.candidates.empty());
  const Candidate& first = *advice.prefer == Direction::lower ? *advice.lower : *advice.higher;
  REQUIRE(*advice.candidates.front().likelihood > *first.likelihood + 0.08);
  CHECK(advice.reason.find("the best there is") == std::string::npos);
  CHECK(advice.reason.find("but no upper limit was entered.") != std::string::npos);
  asked.max_rpm = 20000;
  CHECK(advise(asked).reason.find("no upper limit") == std::string::npos);
}

TEST_CASE("a knob step that a tapped mode bars is not named beside a speed") {
  Question asked = question(1320, 6000, 4);
  asked.max_rpm = 12000;
  asked.taps = {{1310, false}, {640, true}};  // 4800: its second tooth harmonic is 640 Hz
  const Advice advice = advise(asked);
  for (const auto& candidate : {advice.lower, advice.higher}) {
    if (!candidate || std::abs(candidate->knob_rpm - 4800) > 1) continue;
    CHECK(candidate->knob_leaves_pocket);
    CHECK_FALSE(candidate->knob_likelihood);
  }
  REQUIRE(advice.lower);
  CHECK(advice.lower->knob_rpm == 4800);
}

TEST_CASE("a tap that lies where the mode behind the tone may be is its tap, however wide that is") {
  Question asked = question(212, 6000, 4);  // midway between whole waves: a wide range
  asked.taps = {{210, true}, {900, false}};
  const Advice advice = advise(asked);
  REQUIRE(advice.natural_low_hz < 210);
  REQUIRE(advice.natural_high_hz > 210);
  CHECK(advice.part_sings == true);
  CHECK(advice.taps_say.find("the part's note (tapped at 210 Hz)") != std::string::npos);
}

TEST_CASE("on a tooth multiple nothing is known, and nothing is made up") {
  Question asked = question(1200, 6000, 4);
  const Advice advice = advise(asked);
  for (const auto& candidate : {advice.lower, advice.higher}) {
    if (!candidate) continue;
    CHECK_FALSE(candidate->likelihood);
    CHECK(candidate->width_from_rpm == candidate->width_to_rpm);
  }
  CHECK_FALSE(advice.depth_factor);
  for (const Remedy& remedy : advice.remedies) CHECK(remedy.text.find("a fifth") == std::string::npos);
  CHECK(std::any_of(advice.notes.begin(), advice.notes.end(), [](const std::string& note) { return note.find("The tone stands on a multiple of the teeth") == 0; }));
}
