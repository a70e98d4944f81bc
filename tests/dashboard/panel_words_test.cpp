// What the screen says in words, the panels beside the verdict: the trainer's lesson and the trials.
#include "dashboard/lesson_view.hpp"
#include "dashboard/trials_view.hpp"
#include "made_state.hpp"
#include "plain.hpp"
#include "support/catch.hpp"

using namespace hushmill;
using namespace hushmill::dashboard;
using hushmill::test::Made;
using hushmill::test::made_state;
using hushmill::test::plain;

TEST_CASE("the lesson uses the cut's own numbers") {
  live::State state = made_state(Made::chatter);
  state.card.flutes = 1;
  state.snapshot.tooth_passing_hz = 400;
  const LessonView view = prepare_lesson(state);
  REQUIRE_FALSE(view.paragraphs.empty());
  CHECK(plain(view.paragraphs[0]).find("One tooth at 5 983 rev/min: a tooth 400.0 times a second.") == 0);
  CHECK(view.paragraphs[0].find("4.52 waves from one tooth to the next: 4 whole ones and a piece") !=
        std::string::npos);
}

TEST_CASE("the lesson does not praise a speed that chattered on this cut") {
  live::State state = made_state(Made::steady);
  CHECK(prepare_lesson(state).title == "In step");
  const LessonView doubted = prepare_lesson(state, true);
  CHECK(doubted.title == "Quiet for the moment");
  for (const auto& paragraph : doubted.paragraphs) CHECK(paragraph.find("deeper") == std::string::npos);
}

TEST_CASE("the trials panel says what a speed still wants, how the earlier ones ended and which held") {
  live::State state = made_state(Made::steady);
  TrialsView view = prepare_trials(state);
  CHECK(view.running);
  CHECK(plain(view.now.speed) == "6 000");
  CHECK(plain(view.now.words) == "quiet so far, 2 s");
  CHECK(plain(view.wanted) == "Wanted: 3 s of cut and a whole lap or pass.");
  CHECK(view.offer.empty());
  REQUIRE(view.earlier.size() == 2);
  CHECK(plain(view.earlier[0].words) == "held, 7.4 s of cut");
  CHECK(plain(view.earlier[1].words) == "came back every 2.1 s");
  CHECK(plain(view.best) == "Highest held: 4 800");

  state.trials.back().passes = 1;
  state.trials.back().quiet_s = 3.5;
  state.trials.back().outcome = trial::Outcome::held;
  view = prepare_trials(state);
  CHECK(plain(view.now.words) == "held so far, 3 s of cut");
  CHECK(view.wanted.empty());
  CHECK(plain(view.best) == "Highest held: 6 000");

  state.trials.back().set_up = 1;  // another cut: what was tried before says nothing of it
  view = prepare_trials(state);
  CHECK(view.earlier.empty());
  CHECK(prepare_trials(live::State{}).now.speed.empty());
}
