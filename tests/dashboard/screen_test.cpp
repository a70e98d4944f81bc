// The whole screen without a window: what the state says stands on it, whole, large enough, apart from each other.
#include <algorithm>
#include <limits>
#include <string>

#include "dashboard/action.hpp"
#include "dashboard/theme.hpp"
#include "made_state.hpp"
#include "stage.hpp"
#include "support/catch.hpp"
#include "tidy.hpp"

namespace {

using namespace hushmill;
using namespace hushmill::dashboard;
using hushmill::test::Made;
using hushmill::test::check_tidy;
using hushmill::test::check_whole;
using hushmill::test::Stage;

struct Size {
  float w, h, scale;
};

}  // namespace

TEST_CASE("every look at every size is tidy and nothing of an ordinary state is shortened") {
  const auto size = GENERATE(Size{1280, 720, 1}, Size{1920, 1080, 1}, Size{3840, 2160, 2}, Size{3840, 2160, 3},
                             Size{1280, 720, 2}, Size{1280, 720, 3}, Size{1366, 768, 1}, Size{1280, 1024, 1},
                             Size{2560, 1080, 1}, Size{1280, 800, 1}, Size{1920, 1200, 1});
  const auto look = GENERATE(Look::bench, Look::teach, Look::room);
  Stage stage({size.w, size.h, size.scale, false, look, true});
  for (const Made what : {Made::air, Made::steady, Made::forced, Made::building, Made::chatter}) {
    INFO(size.w << " x " << size.h << " at " << size.scale << ", look " << static_cast<int>(look) << ", state "
                << static_cast<int>(what));
    stage.show(test::made_session(what, 0.5));
    check_tidy(stage, size.w, size.h);
    check_whole(stage);
  }
}

TEST_CASE("a microphone with troubles is tidy, and the worst trouble is said first") {
  auto states = test::made_session(Made::steady, 0.5, false);
  live::State& state = states.back();
  state.source.lost_samples = 4096;
  state.snapshot.clipped_samples = 12;
  state.snapshot.peak_dbfs = 0;
  state.warnings = {listen::Warning::clipped, listen::Warning::no_room, listen::Warning::speed_differs,
                    listen::Warning::high_lobe};
  Stage stage({1280, 720, 1, false, Look::bench, false});
  stage.show(states);
  check_tidy(stage, 1280, 720);
  REQUIRE(stage.find("4 096 samples lost"));
  REQUIRE(stage.find("turn the input level down"));
  state.snapshot.peak_dbfs = -17;  // the advice was taken
  state.source.lost_samples = 0;
  state.warnings = {listen::Warning::clipped};
  stage.show(states);
  CHECK(stage.find("It clipped earlier"));
  CHECK_FALSE(stage.find("turn the input level down"));
}

TEST_CASE("huge and odd numbers leave the screen tidy and are never cut short") {
  auto states = test::made_session(Made::chatter, 0.5);
  live::State& state = states.back();
  state.card.programmed_rpm = 199999.9;
  state.card.feed_mm_min = 1000000;
  state.card.diameter_mm = 99999.999;
  state.card.depth_mm = -99999.99;
  state.card.radial_mm = 1000000;
  state.card.tool_max_rpm = 199999;
  state.card.knob_step_percent = 0.1;
  state.rig->spindle_rpm = 1000000;
  state.rig->depth_mm = -99999.99;
  state.source.lost_samples = std::numeric_limits<std::uint64_t>::max();
  state.snapshot.chatter->chatter_hz = 1000000;
  state.snapshot.chatter->growth_db_s = -99999.99;
  state.snapshot.t_s = 1e7;
  state.snapshot.level_dbfs = -99999.99;
  state.source.trouble =
      "The device with an exceedingly long name, which nobody could ever want to read whole, went away.";
  const auto size = GENERATE(Size{1280, 720, 1}, Size{1920, 1080, 1}, Size{3840, 2160, 2});
  const auto look = GENERATE(Look::bench, Look::teach, Look::room);
  Stage stage({size.w, size.h, size.scale, false, look, true});
  stage.show(states);
  check_tidy(stage, size.w, size.h);
  for (const DrawnText& text : stage.report().texts) {
    if (text.shortened) {
      INFO(text.panel << ": '" << text.text << "'");
      // Words may be cut, digits may not: nothing that ends in an ellipsis may have a digit before it.
      const auto end = text.text.rfind("\xE2\x80\xA6");
      REQUIRE(end != std::string::npos);
      CHECK_FALSE((end > 0 && text.text[end - 1] >= '0' && text.text[end - 1] <= '9'));
    }
  }
}

TEST_CASE("the screen stays tidy with -99 999.99 or 1 000 000 in any field") {
  const double value = GENERATE(-99999.99, 1000000.0);
  auto states = test::made_session(Made::chatter, 0.5);
  live::State& state = states.back();
  live::CutCard& card = state.card;
  for (auto* field : {&card.diameter_mm, &card.radial_mm, &card.depth_mm, &card.feed_mm_min, &card.min_rpm, &card.max_rpm,
                      &card.tool_max_rpm, &card.damping_ratio})
    *field = value;
  for (double* field : {&card.programmed_rpm, &card.override_percent, &card.knob_step_percent, &state.rig->spindle_rpm,
                        &state.rig->depth_mm, &state.rig->radial_mm, &state.rig->feed_per_tooth_mm, &state.snapshot.level_dbfs,
                        &state.snapshot.peak_dbfs, &state.snapshot.tooth_passing_hz, &state.snapshot.chatter->chatter_hz,
                        &state.snapshot.chatter->dbfs, &state.snapshot.chatter->share, &state.snapshot.chatter->start_s,
                        &state.source.sample_rate_hz})
    *field = value;
  card.flutes = static_cast<int>(value);
  state.snapshot.measured_rpm = value;
  for (auto* candidate : {&state.advice.lower, &state.advice.higher}) {
    for (double* field : {&(*candidate)->spindle_rpm, &(*candidate)->override_percent, &(*candidate)->knob_percent,
                          &(*candidate)->width_from_rpm, &(*candidate)->width_to_rpm})
      *field = value;
    (*candidate)->feed_mm_min = (*candidate)->likelihood = value;
  }
  for (trial::Trial& trial : state.trials) {
    trial.spindle_rpm = trial.chatter_hz = trial.quiet_s = trial.cut_s = value;
    if (trial.laps) trial.laps->period_s = value;
  }
  for (listen::Peak& peak : state.snapshot.peaks) peak.dbfs = value;
  const auto size = GENERATE(Size{1280, 720, 1}, Size{3840, 2160, 3});
  const auto look = GENERATE(Look::bench, Look::teach, Look::room);
  Stage stage({size.w, size.h, size.scale, false, look, true});
  for (const Units units : {Units::metric, Units::inch}) {
    stage.view().units = units;
    stage.show(states);
    INFO(value << ", " << size.w << " x " << size.h << ", look " << static_cast<int>(look));
    check_tidy(stage, size.w, size.h);
  }
}

TEST_CASE("not-a-number anywhere leaves a screen without the word nan") {
  auto states = test::made_session(Made::chatter, 0.5);
  live::State& state = states.back();
  const double nan = std::numeric_limits<double>::quiet_NaN();
  state.snapshot.chatter->chatter_hz = nan;
  state.snapshot.chatter->growth_db_s = nan;
  state.snapshot.chatter->share = nan;
  state.snapshot.level_dbfs = nan;
  state.snapshot.measured_rpm = nan;
  state.advice.lower->likelihood = nan;
  state.advice.higher->spindle_rpm = nan;
  for (std::size_t bin = 0; bin < 100; ++bin) state.snapshot.spectrum_dbfs[bin] = static_cast<float>(nan);
  Stage stage({});
  stage.show(states);
  check_tidy(stage, 1280, 720);
  for (const DrawnText& text : stage.report().texts) {
    INFO(text.text);
    CHECK(text.text.find("nan") == std::string::npos);
  }
}

TEST_CASE("the screen says the same in band, ladder and advice card") {
  Stage stage({});
  stage.show(test::made_session(Made::chatter, 0.1));
  REQUIRE(stage.find("CHATTER"));
  CHECK(stage.find("1 807 Hz, between tooth multiples 4 and 5"));
  CHECK(stage.find("64 % of the sound"));
  const DrawnText* headline = stage.find("Turn the speed DOWN one step, to 5 400.");
  REQUIRE(headline);
  CHECK(headline->panel == "Verdict");
  const DrawnText* card = stage.find("First: 1 step down");
  REQUIRE(card);
  CHECK(card->text.find("5 400") != std::string::npos);
  CHECK(stage.find("S5390 F1294"));
  CHECK(stage.find("80 % likely"));
  CHECK(stage.find("Advice only. Doors shut, guards on."));
  CHECK(stage.find("Faster is hotter. Never above spindle, holder or tool limit."));
}

TEST_CASE("the verdict word's capitals are at least a tenth of the window's height, down to 16:10") {
  const auto size = GENERATE(Size{1280, 720, 1}, Size{1920, 1080, 1}, Size{3840, 2160, 2}, Size{1280, 800, 1});
  Stage stage({size.w, size.h, size.scale});
  for (const Made what : {Made::air, Made::steady, Made::forced, Made::building, Made::chatter}) {
    stage.show(test::made_session(what, 0.5));
    const DrawnText& word = stage.report().texts.front();
    REQUIRE(word.panel == "Verdict");
    INFO(word.text);
    CHECK(stage.typography().capital_px(word.size_px) >= size.h / 10);
  }
}

TEST_CASE("no key has two meanings, and every action has a key") {
  std::vector<std::string> keys;
  std::vector<int> actions;
  for (const KeyLine& line : key_lines()) {
    actions.push_back(static_cast<int>(line.action));
    keys.emplace_back(line.key);
    if (*line.other) keys.emplace_back(line.other);
    CHECK(std::string(line.words).size() > 5);
  }
  std::sort(actions.begin(), actions.end());
  REQUIRE(actions.size() == static_cast<std::size_t>(Action::close) + 1);
  for (std::size_t i = 0; i < actions.size(); ++i) CHECK(actions[i] == static_cast<int>(i));
  std::sort(keys.begin(), keys.end());
  CHECK(std::adjacent_find(keys.begin(), keys.end()) == keys.end());
  for (const std::string& key : keys) CHECK(action_for(key));
}

TEST_CASE("the keys card is tidy and whole at every size, on as many pages as it needs") {
  const auto size = GENERATE(Size{1280, 720, 1}, Size{1920, 1080, 1}, Size{1280, 720, 2}, Size{1280, 1024, 1}, Size{3840, 2160, 3});
  Stage stage({size.w, size.h, size.scale});
  stage.show(test::made_session(Made::chatter, 0.5));
  Input help;
  help.keys = {"F1"};
  std::size_t listed = 0;
  for (stage.again(help); stage.view().show_keys > 0 && listed < 200; stage.again(help)) {
    INFO(size.w << " x " << size.h << " at " << size.scale << ", page " << stage.view().show_keys);
    const DrawnText* before = nullptr;
    for (const DrawnText& text : stage.report().texts) {
      if (text.panel != "Keys") continue;
      INFO(text.text);
      CHECK_FALSE(text.shortened);
      CHECK(inside(text.box, {0, 0, size.w, size.h}, 0.5F));
      if (before) CHECK_FALSE(overlap(before->box, text.box, 1.0F));
      before = &text;
      ++listed;
    }
    listed -= 2;  // title and note
  }
  CHECK(listed == 2 * key_lines().size());
}

TEST_CASE("keys and mouse make commands") {
  Stage stage({});
  stage.show(test::made_session(Made::chatter, 0.5));

  SECTION("the knob steps down and the simulated machine follows") {
    Input input;
    input.keys = {"Down"};
    const auto commands = stage.again(input);
    REQUIRE(commands.size() == 2);
    CHECK(std::get<live::ChangeCard>(commands[0]).card.override_percent == 90);
    CHECK(std::get<live::TurnRig>(commands[1]).controls.spindle_rpm == 5400);
    CHECK(stage.view().undo.size() == 1);
  }
  SECTION("two presses within one frame are two steps, and undo takes both back") {
    Input input;
    input.keys = {"Down", "Down"};
    auto commands = stage.again(input);
    REQUIRE(commands.size() == 4);
    CHECK(std::get<live::ChangeCard>(commands[2]).card.override_percent == 80);
    CHECK(std::get<live::TurnRig>(commands[3]).controls.spindle_rpm == 4800);
    input.keys = {"Z", "Z", "Z"};
    commands = stage.again(input);
    REQUIRE(commands.size() == 4);
    CHECK(std::get<live::ChangeCard>(commands[0]).card.override_percent == 90);
    CHECK(std::get<live::ChangeCard>(commands[2]).card.override_percent == 100);
  }
  SECTION("laps are marked, places said and what is heard is taken by one key each") {
    Input input;
    input.keys = {"P", "W", "W", "Y"};
    auto commands = stage.again(input);
    REQUIRE(commands.size() == 3);  // nothing else is heard, so nothing to take
    CHECK(std::holds_alternative<live::MarkPass>(commands[0]));
    CHECK(std::get<live::TagPlace>(commands[1]).place == trial::Place::wall);
    CHECK(std::get<live::TagPlace>(commands[2]).place == trial::Place::corner);
    stage.state().place = trial::Place::floor;
    stage.state().other_fit = listen::OtherFit{5400, 4};
    input.keys = {"W", "Y"};
    commands = stage.again(input);
    REQUIRE(commands.size() == 2);
    CHECK_FALSE(std::get<live::TagPlace>(commands[0]).place);
    CHECK(std::holds_alternative<live::TakeHeard>(commands[1]));
  }
  SECTION("a field is clicked, typed in, checked and taken") {
    const DrawnText* label = stage.find("Flutes");
    REQUIRE(label);
    Input click;
    click.clicked = click.mouse_down = true;
    click.mouse_x = label->box.x + 2;
    click.mouse_y = label->box.middle_y();
    CHECK(stage.again(click).empty());
    REQUIRE(stage.view().editing == Field::flutes);
    Input type;
    type.typed = U"400";
    type.keys = {"4", "0", "0"};
    stage.again(type);
    CHECK(stage.find("Flutes 400 is out of range; 1 to 64 would be right"));
    Input enter;
    enter.keys = {"Enter"};
    CHECK(stage.again(enter).empty());
    CHECK(stage.view().editing == Field::flutes);
    Input mend;
    mend.keys = {"Backspace", "Backspace", "Enter"};
    CHECK(stage.again(mend).empty());  // four flutes it was already
    Input again = click;
    stage.again(again);
    Input six;
    six.typed = U"6";
    six.keys = {"6", "Enter"};
    const auto commands = stage.again(six);
    REQUIRE_FALSE(commands.empty());
    CHECK(std::get<live::ChangeCard>(commands[0]).card.flutes == 6);
    CHECK_FALSE(stage.view().editing.has_value());
  }
  SECTION("letters typed into a field do not act as keys") {
    Input tab;
    tab.keys = {"Tab"};
    stage.again(tab);
    REQUIRE(stage.view().editing == Field::programmed);
    Input letter;
    letter.typed = U"t";
    letter.keys = {"T"};
    stage.again(letter);
    CHECK_FALSE(stage.view().light);
    CHECK(stage.find("is not a number"));
  }
  SECTION("the keys card lists every key once and is tidy") {
    Input help;
    help.keys = {"F1"};
    stage.again(help);
    REQUIRE(stage.view().show_keys);
    for (const DrawnText& a : stage.report().texts) {
      for (const DrawnText& b : stage.report().texts) {
        if (&a == &b || a.panel != "Keys" || b.panel != "Keys") continue;
        INFO(a.text << " and " << b.text);
        CHECK_FALSE(overlap(a.box, b.box, 1.0F));
      }
    }
    CHECK(stage.find("turn the override one step up"));
    CHECK(stage.find("close the program"));
    for (const DrawnText& text : stage.report().texts) CHECK_FALSE((text.panel == "Keys" && text.shortened));
    stage.again(help);
    CHECK(stage.view().show_keys == 0);
  }
  SECTION("the frequencies are read, brought closer, moved and held by keys and by the mouse, in both pictures") {
    const auto press = [&](const char* key) {
      Input input;
      input.keys = {key};
      stage.again(input);
    };
    stage.view().hz_to.toward(4500, 100);
    press("E");
    REQUIRE(stage.view().reading_hz);
    const double first_hz = *stage.view().reading_hz;
    press("E");
    CHECK(*stage.view().reading_hz > first_hz);
    CHECK(stage.find("tooth multiple"));
    press("Esc");
    CHECK_FALSE(stage.view().reading_hz);
    press("+");
    REQUIRE(stage.view().hz_zoom);
    const Axis closer = *stage.view().hz_zoom;
    CHECK(closer.holds(1807));  // about the chatter
    press(".");
    CHECK(stage.view().hz_zoom->from > closer.from);
    press(",");
    CHECK_THAT(stage.view().hz_zoom->from, test::WithinAbs(closer.from, 1e-6));
    press("-");
    press("Home");
    CHECK_FALSE(stage.view().hz_zoom);

    // In the spectrogram: what was heard 10 s ago at half the height, a wheel and a drag upward.
    const DrawnMark* onset = nullptr;
    for (const DrawnMark& mark : stage.report().marks)
      if (mark.what == "onset") onset = &mark;
    REQUIRE(onset);
    const Rect past = stage.layout().history;
    Input over;
    over.mouse_x = past.middle_x();
    over.mouse_y = past.middle_y();
    stage.again(over);
    const auto reads = [&](const std::string& words) {
      for (const DrawnText& text : stage.report().texts)
        if (text.panel == "Last 20 s" && text.text.find(words) != std::string::npos) return true;
      return false;
    };
    CHECK(reads("ago"));
    CHECK(reads("Hz"));
    CHECK(reads("dB"));
    over.wheel = 1;
    stage.again(over);
    REQUIRE(stage.view().hz_zoom);
    const double from_hz = stage.view().hz_zoom->from;
    over.wheel = 0;
    over.clicked = over.mouse_down = true;
    stage.again(over);
    over.clicked = false;
    over.mouse_y += 12;
    stage.again(over);
    CHECK(stage.view().hz_zoom->from > from_hz);
    press("L");
    check_tidy(stage, 1280, 720);
  }
  SECTION("a bar of the simulator is dragged") {
    const DrawnMark* knob = nullptr;
    for (const DrawnMark& mark : stage.report().marks) {
      if (mark.what == "rig knob" && !knob) knob = &mark;
    }
    REQUIRE(knob);
    Input press;
    press.mouse_x = knob->x;
    press.mouse_y = knob->y;
    press.clicked = press.mouse_down = true;
    stage.again(press);
    REQUIRE(stage.view().dragging == Field::rig_speed);
    Input drag = press;
    drag.clicked = false;
    drag.mouse_x += 20;
    const auto commands = stage.again(drag);
    REQUIRE(commands.size() == 2);
    CHECK(std::get<live::TurnRig>(commands[0]).controls.spindle_rpm > 6000);
    const double rpm = std::get<live::TurnRig>(commands[0]).controls.spindle_rpm;
    CHECK_THAT(std::get<live::ChangeCard>(commands[1]).card.entered_rpm(), test::WithinRel(rpm, 1e-9));
  }
  SECTION("held pictures stand still while the verdict goes on") {
    Input hold;
    hold.keys = {"F"};
    stage.again(hold);
    stage.show({test::made_state(Made::steady, 60)});
    CHECK(stage.find("STEADY"));
    bool folded_chatter = false;
    for (const DrawnMark& mark : stage.report().marks)
      folded_chatter = folded_chatter || mark.what == "chatter fraction";
    CHECK(folded_chatter);
  }
}
