#include "trial/speed_table.hpp"

#include "support/catch.hpp"

using namespace hushmill;
using trial::Outcome;
using trial::Place;

namespace {

trial::Trial tried(double rpm, Outcome outcome, double quiet_s, std::vector<trial::PlaceResult> places = {}) {
  trial::Trial trial;
  trial.spindle_rpm = rpm;
  trial.outcome = outcome;
  trial.quiet_s = quiet_s;
  trial.places = std::move(places);
  return trial;
}

}  // namespace

TEST_CASE("the highest speed that holds everywhere held in every place that anybody tagged") {
  const std::vector<trial::Trial> trials{
      tried(6000, Outcome::returned, 9, {{Place::wall, Outcome::held, 8, 0}, {Place::corner, Outcome::returned, 1, 2}}),
      tried(5400, Outcome::held, 12, {{Place::wall, Outcome::held, 8, 0}, {Place::corner, Outcome::held, 4, 0}}),
      tried(4800, Outcome::held, 12, {{Place::wall, Outcome::held, 8, 0}, {Place::corner, Outcome::held, 4, 0}}),
      tried(6600, Outcome::held, 5, {{Place::wall, Outcome::held, 5, 0}})};  // no corner was cut there
  const auto table = trial::speed_table(trials);
  REQUIRE(table.places == std::vector{Place::wall, Place::corner});
  REQUIRE(table.rows.size() == 4);
  CHECK(table.rows[0].spindle_rpm == 6600);
  CHECK(table.rows[0].places[1].outcome == Outcome::not_enough);
  CHECK(table.rows[1].places[1].outcome == Outcome::returned);
  CHECK(table.holds_everywhere_rpm == 5400.0);
}

TEST_CASE("a speed that was tried twice is worth the worse try, and short visits to a place add up") {
  const auto table = trial::speed_table(std::vector{
      tried(6000, Outcome::held, 9), tried(6010, Outcome::chattered, 1), tried(5400, Outcome::not_enough, 2, {{Place::corner, Outcome::not_enough, 2, 0}}),
      tried(5400, Outcome::held, 4, {{Place::corner, Outcome::not_enough, 1.5, 0}})});
  REQUIRE(table.rows.size() == 2);
  CHECK(table.rows[0].outcome == Outcome::chattered);
  CHECK(table.rows[1].places[0].outcome == Outcome::held);
  CHECK(table.holds_everywhere_rpm == 5400.0);
}

TEST_CASE("another cut and a speed that the sound contradicts have no place in the table") {
  auto earlier = tried(7000, Outcome::held, 9);
  auto doubted = tried(6800, Outcome::chattered, 0);
  doubted.heard_as = listen::OtherFit{6120, 4};
  auto now = tried(6000, Outcome::held, 9);
  earlier.set_up = 0;
  doubted.set_up = now.set_up = 1;
  const auto table = trial::speed_table(std::vector{earlier, doubted, now});
  REQUIRE(table.rows.size() == 1);
  CHECK(table.holds_everywhere_rpm == 6000.0);
  CHECK_FALSE(trial::speed_table(std::vector{doubted}).holds_everywhere_rpm);
  CHECK(trial::speed_table({}).rows.empty());
}
