#include "advise/remedies.hpp"

#include <algorithm>

#include "support/catch.hpp"

namespace {

using namespace hushmill::advise;

Question asked() {
  Question question;
  question.chatter_hz = 900;
  question.spindle_rpm = 6000;
  question.flutes = 4;
  return question;
}

bool says(const std::vector<Remedy>& list, Area area, const std::string& words) {
  return std::any_of(list.begin(), list.end(), [&](const Remedy& remedy) {
    return remedy.area == area && remedy.text.find(words) != std::string::npos;
  });
}

TEST_CASE("remedies carry their numbers") {
  Question question = asked();
  question.depth_mm = 4;
  question.diameter_mm = 12;
  question.radial_mm = 12;
  Advice advice;
  advice.depth_factor = 0.512;
  const auto list = remedies_for(question, advice);
  CHECK(says(list, Area::program, "2.05 mm (51 %)"));
  // Derived: stiffness goes with the cube of the length, and 0.8^3 = 0.512.
  CHECK(says(list, Area::tool, "stick-out by about 20 %"));
  // Derived: four flutes, 6000 rev/min, 900 Hz: alternating pitch differs by 3 n / f = 20 degrees (rule by E. Budak,
  // 2003, from memory).
  CHECK(says(list, Area::tool, "20.0 degrees"));
  CHECK(says(list, Area::tool, "3 flutes instead of 4"));
}

TEST_CASE("odd flutes get the even step of pitch") {
  // Derived: 6 k n / (N f) with k = 1, three flutes: 13.3 degrees.
  Question question = asked();
  question.flutes = 3;
  CHECK(says(remedies_for(question, {}), Area::tool, "13.3 degrees"));
}

TEST_CASE("the one that sings by the taps is named") {
  Question question = asked();
  question.taps = {{1900, false}, {895, true}};
  const Advice part = advise(question);
  REQUIRE(part.part_sings);
  CHECK(*part.part_sings);
  question.taps = {{895, false}, {400, true}};
  const Advice tool = advise(question);
  REQUIRE(tool.part_sings);
  CHECK_FALSE(*tool.part_sings);
  question.taps = {{1900, false}};
  CHECK_FALSE(advise(question).part_sings);
}

TEST_CASE("where nothing inside the limits helps, it is said, with what would") {
  // No speed but the present one's close neighbours is allowed.
  Question question = asked();
  question.min_rpm = 5950;
  question.max_rpm = 6050;
  const Advice advice = advise(question);
  CHECK(advice.speed_may_not_do);
  CHECK_FALSE(advice.remedies.empty());
  CHECK(says(advice.remedies, Area::program, "depth"));
}

TEST_CASE("cautions stand beside every advice, and limits that nobody gave are asked for") {
  const Advice open = advise(asked());
  REQUIRE_FALSE(open.cautions.empty());
  CHECK(open.cautions.front().find("Advice only") == 0);
  const auto asks = [](const Advice& advice) {
    return std::any_of(advice.cautions.begin(), advice.cautions.end(),
                       [](const std::string& line) { return line.find("No upper limit") != std::string::npos; });
  };
  CHECK(asks(open));
  Question limited = asked();
  limited.max_rpm = 12000;
  CHECK_FALSE(asks(advise(limited)));
}

}  // namespace
