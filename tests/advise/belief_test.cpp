#include "advise/belief.hpp"

#include <algorithm>
#include <cmath>

#include "support/catch.hpp"

namespace {

using namespace hushmill::advise;

Question heard(double chatter_hz, double rpm, int flutes) {
  Question question;
  question.chatter_hz = chatter_hz;
  question.spindle_rpm = rpm;
  question.flutes = flutes;
  return question;
}

const SpeedGrid kGrid = SpeedGrid::between(4000, 16000);

TEST_CASE("chances are chances, and the speed that chattered is not quiet") {
  const Belief belief(heard(940, 8000, 4), kGrid);
  REQUIRE(belief.known());
  for (const double chance : belief.quiet()) {
    CHECK(chance >= 0);
    CHECK(chance <= 1);
  }
  CHECK(belief.quiet_at(8000) < 0.05);
  // Beside the in-phase speed of the heard tone (derived: 7050) it is far better than between pockets.
  CHECK(belief.quiet_at(7020) > belief.quiet_at(8000) + 0.4);
  CHECK(belief.quiet_at(7020) > belief.quiet_at(5600) + 0.3);
}

TEST_CASE("less depth is never less quiet") {
  const Belief belief(heard(940, 8000, 4), kGrid);
  const std::vector<double> speeds{5600, 6300, 7020, 7600, 9000, 13500};
  std::vector<double> before(speeds.size(), 0.0);
  for (const double factor : {1.0, 0.8, 0.5, 0.2}) {
    const std::vector<double> now = belief.quiet_with_depth(speeds, factor);
    // Shallower cuts can lie in an island of chatter of a few guesses; of all guesses together hardly.
    for (std::size_t i = 0; i < now.size(); ++i) CHECK(now[i] >= before[i] - 0.02);
    before = now;
  }
  CHECK(*std::min_element(before.begin(), before.end()) > 0.6);
}

TEST_CASE("a trial that chattered lowers its neighbourhood, one that held raises it") {
  Question question = heard(940, 8000, 4);
  const double before = Belief(question, kGrid).quiet_at(7300);
  question.tried = {{7300, Outcome::chattered, std::nullopt}};
  CHECK(Belief(question, kGrid).quiet_at(7300) < 0.2 * before);
  question.tried = {{7300, Outcome::held, std::nullopt}};
  CHECK(Belief(question, kGrid).quiet_at(7300) > std::max(before, 0.85));
}

TEST_CASE("a second tone far from the first is another voice, the same tone is not") {
  Question question = heard(940, 8000, 4);
  question.tried = {{8300, Outcome::chattered, 945.0}};
  CHECK(Belief(question, kGrid).voices() == 1);
  question.tried = {{7100, Outcome::chattered, 2730.0}};
  CHECK(Belief(question, kGrid).voices() == 2);
}

TEST_CASE("between stepped speeds nothing is far from what stepping there would say") {
  const Belief belief(heard(940, 8000, 4), kGrid);
  const std::vector<double> speeds{5600, 6300, 7020, 7600, 9000, 13500};
  const std::vector<double> stepped = belief.quiet_with_depth(speeds, 1.0);
  for (std::size_t i = 0; i < speeds.size(); ++i) CHECK(std::abs(stepped[i] - belief.quiet_at(speeds[i])) < 0.15);
}

}  // namespace
