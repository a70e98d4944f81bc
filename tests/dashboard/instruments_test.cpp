// What the instruments show, before any pixel: ladder, folded view, spectrum, last seconds, session.
#include <algorithm>
#include <cmath>

#include "dashboard/folded_view.hpp"
#include "dashboard/history_view.hpp"
#include "dashboard/ladder_view.hpp"
#include "dashboard/numbers.hpp"
#include "dashboard/spectrum_view.hpp"
#include "dashboard/timeline_view.hpp"
#include "made_state.hpp"
#include "support/catch.hpp"

using namespace hushmill;
using namespace hushmill::dashboard;
using hushmill::test::Made;
using hushmill::test::made_state;
using hushmill::test::WithinAbs;
using hushmill::test::WithinRel;

namespace {

LadderView ladder_of(const live::State& state) {
  Session session;
  session.add(state);
  return prepare_ladder(state, prepare_advice(state, session));
}

}  // namespace

TEST_CASE("the ladder's pockets are as lopsided as the adviser says, and only a tick where it does not know") {
  live::State state = made_state(Made::chatter);
  LadderView view = ladder_of(state);
  REQUIRE(view.pockets.size() == 2);
  CHECK(view.pockets[0].from_rpm == 5180);
  CHECK(view.pockets[0].peak_rpm == 5390);
  CHECK(view.pockets[0].to_rpm == 5425);
  CHECK(view.pockets[0].width_known);
  CHECK(view.pockets[0].first);
  CHECK(view.pockets[0].tone == Tone::normal);
  CHECK(view.pockets[1].tone == Tone::abnormal);
  state.advice.lower->width_from_rpm = state.advice.lower->width_to_rpm = 0;
  state.advice.lower->likelihood.reset();
  state.advice.lower->knob_likelihood.reset();
  view = ladder_of(state);
  CHECK_FALSE(view.pockets[0].width_known);
  CHECK(view.pockets[0].from_rpm == view.pockets[0].to_rpm);
  CHECK(view.pockets[0].tone == Tone::neutral);
}

TEST_CASE("the arrow goes from the entered speed to where the sentence sends, and nowhere else") {
  live::State state = made_state(Made::chatter);
  state.trials.clear();  // they have chatter at the higher speed
  Session session;
  session.add(state);
  const AdviceView advice = prepare_advice(state, session);
  const LadderView view = prepare_ladder(state, advice);
  REQUIRE(view.arrows.size() == 2);
  CHECK(view.arrows[0].first);
  CHECK(view.arrows[0].from_rpm == 6000);
  CHECK(view.arrows[0].to_rpm == advice.first()->move.target_rpm);
  CHECK(ladder_of(made_state(Made::steady)).arrows.empty());
}

TEST_CASE("the ladder holds pointer, advice and limits, bars what is forbidden and steps by the knob") {
  const LadderView view = ladder_of(made_state(Made::chatter));
  for (const double rpm : {view.pointer_rpm, view.entered_rpm, 5180.0, 6790.0, 7200.0}) CHECK(view.rpm.holds(rpm));
  REQUIRE(view.barred.size() == 1);
  CHECK(view.barred[0].from_rpm == 7200);
  CHECK(view.barred[0].label.find("tool limit") == 0);
  CHECK(view.pointer_rpm == 5983);
  CHECK(view.pointer_tone == Tone::danger);
  int present = 0;
  for (const KnobStep& step : view.knob) {
    CHECK_THAT(step.rpm, WithinRel(60.0 * step.percent, 1e-9));
    CHECK_THAT(std::remainder(step.percent, 10), WithinAbs(0, 1e-6));
    present += step.present ? 1 : 0;
  }
  CHECK(present == 1);
  live::State deaf = made_state(Made::steady);
  deaf.snapshot.measured_rpm.reset();
  CHECK(ladder_of(deaf).pointer_rpm == 6000);
  CHECK(ladder_of(deaf).pointer_label.find("entered") == 0);
}

TEST_CASE("a knob of a tenth of a percent does not run away") {
  live::State state = made_state(Made::steady);
  state.card.knob_step_percent = 0.1;
  CHECK(ladder_of(state).knob.size() <= 220);
  state.card.knob_step_percent = 0;
  CHECK(ladder_of(state).knob.empty());
}

TEST_CASE("the session remembers how each speed fared") {
  Session session;
  for (const live::State& state : test::made_session(Made::chatter, 0.05)) session.add(state);
  const SpeedTried* high = session.tried(6600);
  REQUIRE(high);
  CHECK(high->episodes == 1);
  CHECK(high->outcome() == advise::Outcome::chattered);
  CHECK(high->last_chatter_hz == 1807);
  const SpeedTried* low = session.tried(4800);
  REQUIRE(low);
  CHECK(low->outcome() == advise::Outcome::held);
  CHECK_THAT(low->quiet_cut_s, WithinAbs(14, 0.15));  // 3 s in step but loud, 11 s steady
  CHECK(session.chattered_rpm() == 6000);
  CHECK(session.tried(5000) == nullptr);

  live::State back = made_state(Made::chatter, 60);
  back.episodes.back().return_of = 0;
  session.add(back);
  CHECK(session.tried(6000)->outcome() == advise::Outcome::returned);
}

TEST_CASE("two seconds of quiet prove nothing") {
  Session session;
  for (double t_s = 0; t_s < 2; t_s += 0.1) session.add(made_state(Made::steady, t_s));
  REQUIRE(session.tried(6000));
  CHECK_FALSE(session.tried(6000)->has_outcome());
}

TEST_CASE("a session of a hundred thousand changes stays bounded and forgets no chatter") {
  Session session;
  live::State state = made_state(Made::steady, 0);
  for (int i = 0; i < 100000; ++i) {
    state.snapshot.t_s = 0.1 * i;
    state.snapshot.verdict = i == 500     ? listen::Verdict::chatter
                             : i % 2 == 0 ? listen::Verdict::steady
                                          : listen::Verdict::no_cut;
    session.add(state);
  }
  CHECK(session.segments().size() <= 4096);
  CHECK(std::count_if(session.segments().begin(), session.segments().end(),
                      [](const Segment& segment) { return segment.verdict == listen::Verdict::chatter; }) == 1);
  for (std::size_t i = 1; i < session.segments().size(); ++i) {
    CHECK(session.segments()[i].from_s >= session.segments()[i - 1].to_s - 1e-9);
  }
  session.add(made_state(Made::steady, 1));  // time ran back: another stream
  CHECK(session.segments().size() == 1);
}

TEST_CASE("a healthy cut folds into one column at zero, chatter and its mirror step out to the side") {
  const listen::Snapshot steady = made_state(Made::steady).snapshot;
  FoldedView view = prepare_folded(steady);
  REQUIRE(view.rows == 12);
  REQUIRE(view.columns % 2 == 1);
  const int middle = view.columns / 2;
  for (int row = 0; row < view.rows; ++row) {
    int brightest = 0;
    for (int column = 0; column < view.columns; ++column) {
      if (view.at(row, column) > view.at(row, brightest)) brightest = column;
    }
    INFO("order " << row + 1);
    CHECK(std::abs(brightest - middle) <= 1);
  }
  CHECK(view.marks.empty());

  const listen::Snapshot chatter = made_state(Made::chatter).snapshot;
  view = prepare_folded(chatter);
  REQUIRE(view.marks.size() == 2);
  const double order = 1807 / chatter.tooth_passing_hz;
  CHECK_THAT(view.marks[0].fraction, WithinAbs(order - std::round(order), 1e-12));
  CHECK(view.marks[1].fraction == -view.marks[0].fraction);
  // The brightest cell of the row that holds the chatter lies at the marked fraction.
  const int row = static_cast<int>(std::round(order)) - 1;
  int brightest = 0;
  for (int column = 0; column < view.columns; ++column) {
    if (view.at(row, column) > view.at(row, brightest)) brightest = column;
  }
  const double at = (brightest + 0.5) / view.columns - 0.5;
  CHECK_THAT(at, WithinAbs(view.marks[0].fraction, 1.5 / view.columns));
}

TEST_CASE("the folded view says why it cannot fold") {
  listen::Snapshot slow = made_state(Made::steady).snapshot;
  slow.tooth_passing_hz = 40;
  CHECK(prepare_folded(slow).trouble.find("too slowly") != std::string::npos);
  slow.tooth_passing_hz = 60000;
  CHECK(prepare_folded(slow).trouble.find("above") != std::string::npos);
  CHECK_FALSE(prepare_folded(listen::Snapshot{}).trouble.empty());
}

TEST_CASE("the reduced spectrum never loses a line, at any width and zoom") {
  const listen::Snapshot now = made_state(Made::chatter).snapshot;
  for (const int columns : {50, 333, 900}) {
    const SpectrumView view = prepare_spectrum(now, {0, 4500, false}, columns);
    REQUIRE(view.curve_dbfs.size() == static_cast<std::size_t>(columns));
    const auto column = static_cast<std::size_t>(std::clamp(view.hz.share(1807) * columns, 0.0, columns - 1.0));
    const float there =
        std::max({view.curve_dbfs[column], view.curve_dbfs[std::min(column + 1, view.curve_dbfs.size() - 1)],
                  view.curve_dbfs[column == 0 ? 0 : column - 1]});
    CHECK(there > -17);
  }
  // Zoomed in far below a bin the curve is a straight line between bins, without stairs.
  const SpectrumView close = prepare_spectrum(now, {1800, 1812, false}, 400);
  for (std::size_t i = 1; i < close.curve_dbfs.size(); ++i)
    CHECK(std::abs(close.curve_dbfs[i] - close.curve_dbfs[i - 1]) < 1.5F);
}

TEST_CASE("marks stand at the tooth multiples and at the engine's family, the strongest named") {
  const listen::Snapshot now = made_state(Made::chatter).snapshot;
  const SpectrumView view = prepare_spectrum(now, {0, 4500, false}, 400);
  int teeth = 0, strongest = 0;
  for (const SpectrumMark& mark : view.marks) {
    if (mark.role == listen::PeakRole::tooth) {
      ++teeth;
      CHECK_THAT(mark.hz, WithinRel(mark.order * now.tooth_passing_hz, 1e-12));
    }
    if (mark.strongest) {
      ++strongest;
      CHECK(mark.hz == 1807);
    }
  }
  CHECK(teeth == static_cast<int>(4500 / now.tooth_passing_hz));
  CHECK(strongest == 1);
  CHECK(interesting_hz(now) >= 1807 * 1.5);
  CHECK(interesting_hz(now) <= 24000);
}

TEST_CASE("the cursor reads frequency, level, nearest tooth multiple and note") {
  listen::Snapshot now = made_state(Made::steady).snapshot;
  now.tooth_passing_hz = 400;
  const std::string text = read_out(now, 880).front();
  CHECK(text.find("880") == 0);
  CHECK(text.find("0.20 above tooth multiple 2") != std::string::npos);
  CHECK(text.find("A5") != std::string::npos);
  CHECK(read_out(now, 1201).front().find("on tooth multiple 3") != std::string::npos);
  CHECK(read_out(now, 700).front().find("0.25 below tooth multiple 2") != std::string::npos);
  const auto spellings = read_out(now, 700);
  REQUIRE(spellings.size() == 3);
  CHECK(spellings[1].size() < spellings[0].size());
  CHECK(spellings[2].find("tooth") == std::string::npos);
}

TEST_CASE("the last seconds are kept column by column and only new columns are painted") {
  History history;
  live::State state = made_state(Made::steady, 0);
  history.add(state.snapshot);
  history.take_dirty();
  const double column_s = History::kSpanS / History::kColumns;
  state.snapshot.t_s = 3.2 * column_s;
  history.add(state.snapshot);
  const auto painted = history.take_dirty();
  CHECK(std::vector<int>(painted.begin(), painted.end()) == std::vector<int>{1, 2, 3});
  state.snapshot.t_s = 3.6 * column_s;
  history.add(state.snapshot);
  CHECK(history.take_dirty().empty());
  CHECK_THAT(history.newest_s(), WithinRel(4 * column_s, 1e-12));

  // The loudest row of the newest column is the row of the loudest line.
  state = made_state(Made::chatter, 5);
  history.add(state.snapshot);
  const auto column = history.column(static_cast<int>(history.newest() % History::kColumns));
  const auto loudest = std::max_element(column.begin(), column.end()) - column.begin();
  CHECK_THAT((static_cast<double>(loudest) + 0.5) * history.top_hz() / History::kRows,
             WithinAbs(1807, history.top_hz() / History::kRows));

  state.snapshot.t_s = 1;  // another stream
  history.add(state.snapshot);
  CHECK(history.take_dirty().size() >= History::kColumns);
  state.snapshot.t_s = 1000;  // a long gap fills the picture once, not fifty times
  history.add(state.snapshot);
  CHECK(history.take_dirty().size() == History::kColumns);
}

TEST_CASE("on the session strip the worst verdict of a pixel wins and its place is right") {
  Session session;
  const auto states = test::made_session(Made::chatter, 0.05);
  for (const live::State& state : states) session.add(state);
  for (const int columns : {30, 700}) {
    const TimelineView view = prepare_timeline(session, states.back().episodes, columns);
    CHECK(view.from_s == 0);
    CHECK(view.to_s == 60);
    int chatter_px = 0, last = 0;
    for (const TimelineRun& run : view.runs) {
      CHECK(run.from_px >= last);
      CHECK(run.to_px > run.from_px);
      last = run.to_px;
      if (run.verdict == listen::Verdict::chatter) chatter_px += run.to_px - run.from_px;
    }
    CHECK(last <= columns);
    // 2 s and 6 s of 60 s of chatter, each rounded outward.
    CHECK(chatter_px >= columns * 8 / 60);
    CHECK(chatter_px <= columns * 8 / 60 + 4);
  }
  const TimelineView view = prepare_timeline(session, {}, 700);
  REQUIRE(view.speeds.size() == 4);
  CHECK(view.speeds[1].label == grouped(6600));
}
