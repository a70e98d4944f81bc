// Sound that was lost is seen on the session strip, at its place.
#include <algorithm>
#include <cmath>

#include "dashboard/timeline_view.hpp"
#include "made_state.hpp"
#include "stage.hpp"
#include "support/catch.hpp"

using namespace hushmill;
using namespace hushmill::dashboard;
using test::Made;

TEST_CASE("a gap in the sound stands on the session strip at its time, and one from before the strip does not") {
  Session session;
  const auto states = test::made_session(Made::chatter, 0.05);
  for (const live::State& state : states) session.add(state);
  TimelineView view = prepare_timeline(session, states.back().episodes, 700);
  show_gaps(view, {{-1, 2}, {15, 0.5}, {30, 3}, {61, 1}});
  REQUIRE(view.gaps.size() == 2);
  CHECK_THAT(view.gaps[0], test::WithinAbs(0.25, 1e-9));
  CHECK_THAT(view.gaps[1], test::WithinAbs(0.5, 1e-9));
  show_gaps(view, {});
  CHECK(view.gaps.empty());
}

TEST_CASE("the screen draws each gap of the state once") {
  auto states = test::made_session(Made::chatter, 0.05);
  test::Stage stage(test::StageSettings{});
  const auto drawn = [&] {
    stage.show(states);
    const auto& marks = stage.report().marks;
    return std::count_if(marks.begin(), marks.end(), [](const auto& mark) { return mark.what == "sound lost"; });
  };
  CHECK(drawn() == 0);
  states.back().lost = {{3, 1.5}, {6, 0.4}};
  CHECK(drawn() == 2);
}
