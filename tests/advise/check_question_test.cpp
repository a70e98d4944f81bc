#include "advise/check_question.hpp"

#include <functional>
#include <limits>
#include <stdexcept>

#include "support/catch.hpp"

namespace {

using namespace hushmill::advise;

Question good() {
  Question question;
  question.chatter_hz = 940;
  question.spindle_rpm = 8000;
  question.flutes = 4;
  return question;
}

std::string complaint(const std::function<void(Question&)>& spoil) {
  Question question = good();
  spoil(question);
  try {
    check_question(question);
  } catch (const std::invalid_argument& error) {
    return error.what();
  }
  return "no complaint";
}

TEST_CASE("a sensible question passes") { CHECK_NOTHROW(check_question(good())); }

TEST_CASE("a bad value is refused with field, value and what would be right") {
  CHECK(complaint([](Question& q) { q.chatter_hz = -3; }) ==
        "chatter_hz is -3; a number from 1 to 100000 Hz would be right");
  CHECK(complaint([](Question& q) { q.spindle_rpm = 9; }) ==
        "spindle_rpm is 9; a number from 10 to 200000 rev/min would be right");
  CHECK(complaint([](Question& q) { q.flutes = 65; }) == "flutes is 65; a number from 1 to 64 would be right");
  CHECK(complaint([](Question& q) { q.min_rpm = 9000, q.tool_max_rpm = 8000; }) ==
        "min_rpm is 9000; at most tool_max_rpm (8000) would be right");
  CHECK(complaint([](Question& q) { q.diameter_mm = 10, q.radial_mm = 11; }) ==
        "radial_mm is 11; a number from 0.0001 to 10 mm would be right");
}

TEST_CASE("not a number and infinity are refused in every field") {
  const std::function<void(Question&, double)> fields[] = {
      [](Question& q, double x) { q.chatter_hz = x; },
      [](Question& q, double x) { q.spindle_rpm = x; },
      [](Question& q, double x) { q.programmed_rpm = x; },
      [](Question& q, double x) { q.feed_mm_min = x; },
      [](Question& q, double x) { q.diameter_mm = x; },
      [](Question& q, double x) { q.radial_mm = x; },
      [](Question& q, double x) { q.depth_mm = x; },
      [](Question& q, double x) { q.min_rpm = x; },
      [](Question& q, double x) { q.max_rpm = x; },
      [](Question& q, double x) { q.tool_max_rpm = x; },
      [](Question& q, double x) { q.holder_max_rpm = x; },
      [](Question& q, double x) { q.min_surface_m_min = x; },
      [](Question& q, double x) { q.spindle_kw = x; },
      [](Question& q, double x) { q.cutting_n_mm2 = x; },
      [](Question& q, double x) { q.max_surface_m_min = x; },
      [](Question& q, double x) { q.knob_step_percent = x; },
      [](Question& q, double x) { q.damping_ratio = x; },
      [](Question& q, double x) { q.growth_per_s = x; },
      [](Question& q, double x) {
        q.tried.push_back({x, Outcome::held, std::nullopt});
      },
      [](Question& q, double x) {
        q.tried.push_back({8000, Outcome::chattered, x});
      },
  };
  for (const auto& set : fields) {
    for (const double bad : {std::numeric_limits<double>::quiet_NaN(), std::numeric_limits<double>::infinity(),
                             -std::numeric_limits<double>::infinity(), -1.0}) {
      Question question = good();
      set(question, bad);
      CHECK_THROWS_AS(advise(question), std::invalid_argument);
    }
  }
}

}  // namespace
