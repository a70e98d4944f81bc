#include "trial/words.hpp"

#include "support/catch.hpp"

using namespace hushmill;
using test::Contains;
using trial::Outcome;

namespace {

trial::Trial running(double quiet_s) {
  trial::Trial trial;
  trial.running = true;
  trial.from_s = 10;
  trial.judged_from_s = 11;
  trial.to_s = 11 + quiet_s;
  trial.cut_s = trial.quiet_s = trial.quiet_run_s = quiet_s;
  return trial;
}

}  // namespace

TEST_CASE("until the hold is met it is quiet so far, and what is wanted is said") {
  auto trial = running(2.4);
  CHECK(trial::sentence(trial) == "quiet so far, 2 s; 3 s of cut are wanted");
  trial.pass_needed = true;
  CHECK(trial::sentence(trial) == "quiet so far, 2 s; 3 s of cut and a marked lap or pass are wanted");
  trial = running(4.9);
  trial.pass_needed = true;
  CHECK(trial::sentence(trial) == "quiet so far, 4 s; a marked lap or pass is wanted");
  trial.passes = 1;
  trial.outcome = Outcome::held;
  CHECK(trial::sentence(trial) == "held so far: no chatter in 4 s of cut");
  trial.running = false;
  CHECK(trial::sentence(trial) == "held: no chatter in 4.9 s of cut, 1 lap or pass marked");
}

TEST_CASE("settling and air are said as what they are") {
  auto trial = running(0);
  CHECK(trial::sentence(trial) == "settling");
  trial.to_s = 15;
  CHECK(trial::sentence(trial) == "waiting for the cut");
  trial.running = false;
  CHECK(trial::sentence(trial) == "not enough cut to tell: none after the settling");
}

TEST_CASE("a return says when, how long, at what frequency, and laps say what to do") {
  auto trial = running(9);
  trial.running = false;
  trial.outcome = Outcome::returned;
  trial.returns = {{14, 0.5, 1250, 3}, {16, 0.5, 1250, 1.5}};
  CHECK(trial::sentence(trial) == "came back: quiet for 3.0 s of cut, then 1250 Hz again at 14.00 s for 0.5 s, twice in all");
  CHECK(trial::lap_words(trial).empty());
  trial.laps = trial::Laps{2.1, 0.07, 1};
  CHECK_THAT(trial::lap_words(trial), Contains("every 2.1 s (spread 0.07 s)"));
  CHECK_THAT(trial::lap_words(trial), Contains("survives the worst spot"));
  CHECK_THAT(trial::lap_words(trial), Contains("constant engagement"));
}

TEST_CASE("a speed that the sound contradicts is said to be no proof") {
  auto trial = running(5);
  trial.running = false;
  trial.heard_as = listen::OtherFit{6798, 4};
  CHECK_THAT(trial::sentence(trial), Contains("not to be believed, the sound fits 6798 rev/min with 4 flutes"));
}

TEST_CASE("a speed that was not heard is said to be not told, and what would help") {
  auto trial = running(9);
  trial.speed_heard = false;
  trial.pass_needed = false;
  trial.spindle_rpm = 7140;
  trial.quiet_s = 5.7;
  CHECK_THAT(trial::sentence(trial), Contains("S7140 was not heard yet; check what was entered"));
  trial.running = false;
  CHECK(trial::sentence(trial) == "not to be told: quiet for 5.7 s of cut, but S7140 was not heard in it; check what was entered");
}

TEST_CASE("before and after are numbers, and nobody says cleared") {
  auto trial = running(5);
  trial.running = false;
  trial.outcome = Outcome::held;
  CHECK(trial::comparison_words(trial).empty());
  trial.compared = trial::Comparison{1, trial::Place::corner, {3, 1200, -12, -10, 0.8, -11}, {5, 1290, -45, -41, 0.01, -20}};
  const auto words = trial::comparison_words(trial);
  CHECK(words == "over corner, against trial 1 while it chattered: tone -12 dB to -45 dB (-33), with its family (the tones that go with it) -10 to -41 (-31), "
                 "chatter's part of the sound 80 % to 1 %, "
                 "whole sound -11 to -20 dB (-9)");
  CHECK(trial::sentence(trial).find("clear") == std::string::npos);
}
