// The tap test's screen and what the taps say on the dashboard's ladder.
#include <algorithm>

#include "dashboard/action.hpp"
#include "dashboard/instruments.hpp"
#include "dashboard/ladder_view.hpp"
#include "dashboard/tap_screen.hpp"
#include "dashboard/tap_view.hpp"
#include "dashboard/verdict_view.hpp"
#include "made_state.hpp"
#include "plain.hpp"
#include "plain_stage.hpp"

using namespace hushmill;
using namespace hushmill::dashboard;

namespace {

live::TapState tapped() {
  live::TapState state;
  state.step = live::TapStep::tapping;
  state.heard_s = 9;
  state.room_s = 2;
  state.picture_s = 8;
  state.source = "scripted";
  state.findings.tap_s = {3, 4.5, 7.5};
  state.findings.rejected = {{6, tap::WhyRejected::double_hit}};
  state.findings.warnings = {tap::Warning::double_hits};
  tap::Mode mode;
  mode.natural_hz = 1182.4;
  mode.natural_hz_spread = 0.64;
  mode.damping_ratio = 0.0231;
  mode.damping_ratio_spread = 0.0008;
  mode.taps_agreeing = 3;
  state.findings.modes = {mode};
  mode.natural_hz = 2650;
  mode.level_db = -14;
  mode.taps_agreeing = 1;
  state.findings.modes.push_back(mode);
  state.taps_in_modes = 3;
  for (int i = 0; i < 400; ++i) state.loudness_dbfs.push_back(-60);
  state.ring = {0, 1, -1, 0.5F, 0};
  return state;
}

}  // namespace

TEST_CASE("the tap screen is tidy at every step, cautions first") {
  for (const auto step : {live::TapStep::cautions, live::TapStep::room, live::TapStep::tapping, live::TapStep::done})
    for (const auto on : {setup::TappedOn::tool, setup::TappedOn::part, setup::TappedOn::machine}) {
      live::TapState state =
          step == live::TapStep::tapping || step == live::TapStep::done ? tapped() : live::TapState{};
      state.step = step;
      state.on = on;
      state.kept[0] = {{setup::TappedOn::tool, 1182, 0.02, 1, 0.001, 3}};
      state.kept[1] = {{setup::TappedOn::part, 1195, 0.02, 1, 0.001, 3}};
      test::PlainStage stage(1280, 720, tap_unit(1280, 720, 1));
      const auto& report = stage.show(false, [&](Canvas& canvas) { draw_taps(canvas, 1280, 720, state); });
      stage.check_tidy();
      CHECK(stage.says("locked out by local rules"));
      CHECK(stage.says("soft face"));
      CHECK(stage.says("cannot be told apart"));  // tool and part within 3 %
      CHECK(std::count_if(report.marks.begin(), report.marks.end(), [](const auto& mark) {
              return mark.what == "tap counts";
            }) == static_cast<int>(state.findings.tap_s.size()));
    }
}

TEST_CASE("modes are shown with their spread and the taps that agree, pockets at 60 f / (N k)") {
  const TapView view = prepare_taps(tapped());
  REQUIRE(view.rows.size() == 2);
  CHECK(view.rows[0].hz ==
        "1\xC2\xA0"
        "182.4 \xC2\xB1 0.6");
  CHECK(view.rows[0].damping == "2.31 \xC2\xB1 0.08");
  CHECK(view.rows[0].taps == "3 of 3");
  CHECK(view.rows[1].weak);
  REQUIRE(view.pockets.size() >= 5);
  // T.L. Schmitz, K.S. Smith, "Machining Dynamics", 2009 (from memory); of the strongest mode.
  CHECK_THAT(view.pockets[2].spindle_rpm, test::WithinAbs(60 * 1182.4 / (4 * 3), 0.01));
  CHECK(view.warnings.size() == 1);
  CHECK(view.marks.size() == 4);
}

TEST_CASE("keys of the tap screen become commands") {
  TapsLook look;
  Input input;
  input.keys = {"Enter", "2", "K", "Up", "R", "Esc"};
  std::vector<live::TapCommand> commands;
  live::TapState state;
  take_taps_input(state, look, input, commands);
  REQUIRE(commands.size() == 5);
  CHECK(std::holds_alternative<live::StartTaps>(commands[0]));
  CHECK(std::get<live::TapOn>(commands[1]).on == setup::TappedOn::part);
  CHECK(std::holds_alternative<live::KeepTaps>(commands[2]));
  CHECK(std::get<live::TapFlutes>(commands[3]).flutes == 5);
  CHECK(look.leave_wanted);
}

TEST_CASE("before the first chatter the ladder shows the speeds that the taps of tool and part call likely quiet, each at its place") {
  live::State state = test::made_state(test::Made::steady);
  state.episodes.clear();
  state.episode_count = 0;
  state.card.programmed_rpm = 6000;
  state.card.override_percent = 100;
  state.card.flutes = 4;
  state.card.taps[0] = {1200, 0.02, false};
  state.card.taps[1] = {800, 0.02, true};
  state.card.tap_count = 2;
  const LadderView ladder = prepare_ladder(state, {});
  std::vector<double> rpm;
  for (const auto& pocket : ladder.pockets) {
    rpm.push_back(pocket.peak_rpm);
    CHECK_FALSE(pocket.width_known);
    CHECK(pocket.by_tap);
    CHECK(pocket.hollow == (rpm.size() > 4));
  }
  CHECK(rpm == std::vector<double>{6000, 4500, 3600, 3000, 6000, 4000, 3000});
  // Two modes give more ticks than there is room for words: words stand at their own tick or not at all.
  state.card.taps[1] = {1182, 0.02, false};
  state.card.taps[2] = {2650, 0.02, false};
  state.card.tap_count = 3;
  const LadderView full = prepare_ladder(state, {});
  test::PlainStage stage(1280, 720, 1);
  const Layout layout = lay_out({});
  const auto& drawn = stage.show(false, [&](Canvas& canvas) { draw_ladder(canvas, layout.ladder, full); });
  stage.check_tidy();
  int named = 0;
  for (const auto& text : drawn.texts) {
    const auto pocket = std::find_if(full.pockets.begin(), full.pockets.end(), [&](const Pocket& p) { return test::plain(std::string(p.label.view())) == text.text; });
    if (pocket == full.pockets.end()) continue;
    ++named;
    const float middle = text.box.y + text.box.h / 2;
    CHECK(std::any_of(drawn.marks.begin(), drawn.marks.end(), [&](const auto& mark) { return std::string(mark.what) == "tapped tick" && std::abs(mark.y - middle) < 5; }));
  }
  CHECK(named > 4);
  state.episode_count = 1;
  CHECK(prepare_ladder(state, {}).pockets.empty());
}

TEST_CASE("the dashboard has doors to the lessons and to the tap test") {
  CHECK(action_for("I") == Action::lessons);
  CHECK(action_for("X") == Action::taps);
}

TEST_CASE("chatter on a note of the tapped part is told to be the part's, with what to work on") {
  live::State state = test::made_state(test::Made::chatter);
  Session session;
  session.add(state);
  state.advice.taps_say = "By the taps this is the part's note (tapped at 1180 Hz), not the tool's: work on the hold.";
  state.advice.part_sings = true;
  AdviceView view = prepare_advice(state, session);
  CHECK(view.note == state.advice.taps_say);
  CHECK(test::plain(std::string(prepare_verdict(state, session, view).tone_line.view())).find(" Hz, the part's note, off the teeth") != std::string::npos);
  test::PlainStage stage(1280, 720, 1);  // on the smallest window's card, beside both directions
  REQUIRE(view.lines.size() == 2);
  const Layout layout = lay_out({.width_px = 1280, .height_px = 720});
  stage.show(false, [&](Canvas& canvas) { draw_advice(canvas, layout.advice, view, false); });
  stage.check_tidy();
  CHECK(stage.says("the part's note (tapped at 1180 Hz)"));
  state.advice.part_sings = false;
  view = prepare_advice(state, session);
  CHECK(std::string(prepare_verdict(state, session, view).tone_line.view()).find("the tool's note") != std::string::npos);
}
