// The past on the screen: a look back leaves listening alone, an open recording lets it rest, and nothing that is pressed there
// reaches the cut that is on.
#include <imgui.h>

#include <chrono>
#include <cmath>
#include <thread>

#include "dashboard/keeping_view.hpp"
#include "dashboard/ladder_view.hpp"
#include "dashboard/pending.hpp"
#include "dashboard/replay_desk.hpp"
#include "dashboard/replay_keys.hpp"
#include "dashboard/sessions_card.hpp"
#include "dashboard/theme.hpp"
#include "dashboard/timeline_view.hpp"
#include "journal/journal.hpp"
#include "live/journal_rows.hpp"
#include "made_state.hpp"
#include "stage.hpp"
#include "support/catch.hpp"
#include "support/temporary_folder.hpp"
#include "support/wav.hpp"

using namespace hushmill;
using namespace hushmill::dashboard;
using hushmill::test::Made;
using hushmill::test::Stage;

namespace {

/// A screen with a desk on it, and the instrument that it talks to.
struct Bench {
  Bench() : states(test::made_session(Made::chatter, 0.05)) {
    for (const live::State& state : states) {
      session.add(state);
      desk.heed(state);
    }
    now = states.back();
  }

  /// One frame with this done in it.
  void frame(Input input = {}, double dt_s = 0.025) {
    ImGui::NewFrame();
    Canvas canvas(*ImGui::GetBackgroundDrawList(), stage.typography(), dark_theme(), &report);
    report = {};
    input.dt_s = dt_s;
    desk.pass(dt_s, now, view);
    desk.take_input(canvas, stage.layout(), now, session, view, input);
    left = input;
    desk.draw(canvas, stage.layout(), sessions_window(stage.layout()));
    ImGui::Render();
  }
  void press(const std::string& key, double dt_s = 0.025) {
    Input input;
    input.keys = {key};
    if (key.size() == 1) input.typed.push_back(static_cast<char32_t>(key[0]));
    frame(input, dt_s);
    frame({}, 0);  // its effect is on the screen in the next one
  }
  void type(const std::string& words) {
    Input input;
    for (const char c : words) {
      input.typed.push_back(static_cast<char32_t>(c));
      input.keys.emplace_back(1, c);
    }
    frame(input);
  }
  template <class Done>
  bool wait_for(Done done) {
    for (int i = 0; i < 2000; ++i) {
      frame({}, 0.005);
      if (done()) return true;
      std::this_thread::sleep_for(std::chrono::milliseconds(5));
    }
    return false;
  }
  bool says(const std::string& words) const {
    for (const auto& text : report.texts)
      if (text.text.find(words) != std::string::npos) return true;
    return false;
  }

  Stage stage{{}};
  Report report;
  std::vector<live::State> states;
  live::State now;
  Session session;
  ViewState view;
  Input left;
  std::vector<live::Command> sent;
  test::TemporaryFolder folder;
  ReplayDesk desk{folder.path(), [this](const live::Command& command) {
                    sent.push_back(command);
                    return true;
                  }};
};

}  // namespace

TEST_CASE("looking back shows the moment of then, leaves listening alone and comes back to now") {
  Bench bench;
  const double now_s = bench.now.snapshot.t_s;
  bench.press("B");
  REQUIRE(bench.desk.past());
  CHECK(bench.sent.empty());
  CHECK(bench.desk.state().snapshot.t_s == test::Approx(now_s - 5).margin(0.06));
  REQUIRE(bench.view.past);
  CHECK_FALSE(bench.view.past->recording);
  CHECK(prepare_keeping(bench.now, bench.view).text.find("now it chatters") != std::string::npos);  // and so it does

  SECTION("the state is that of the moment, and how the speeds fared is what was known then") {
    bench.press("Home");
    CHECK(bench.desk.state().snapshot.t_s == test::Approx(bench.states.front().snapshot.t_s).margin(0.06));
    for (int i = 0; i < 12; ++i) bench.press("Right");
    const double at_s = bench.desk.state().snapshot.t_s;
    CHECK(at_s == test::Approx(bench.states.front().snapshot.t_s + 12).margin(0.06));
    const live::State* then = nullptr;
    Session known;
    for (const live::State& state : bench.states) {
      if (state.snapshot.t_s > at_s + 1e-9) break;
      then = &state;
      known.add(state);
    }
    REQUIRE(then);
    CHECK(bench.desk.state().snapshot.verdict == then->snapshot.verdict);
    CHECK(bench.desk.state().card.entered_rpm() == then->card.entered_rpm());
    CHECK(bench.desk.state().episodes.size() == then->episodes.size());
    CHECK(bench.desk.session().chattered_rpm() == known.chattered_rpm());
    REQUIRE(bench.desk.state().snapshot.spectrum_dbfs.size() == then->snapshot.spectrum_dbfs.size());
    for (std::size_t i = 0; i < then->snapshot.spectrum_dbfs.size(); ++i)
      CHECK(std::abs(bench.desk.state().snapshot.spectrum_dbfs[i] - std::max(-127.5F, then->snapshot.spectrum_dbfs[i])) <= 0.26F);
  }
  SECTION("it plays at the speed that was set, up to now") {
    const double from_s = bench.desk.state().snapshot.t_s;
    bench.press("Space", 0);
    bench.frame({}, 0.5);
    CHECK(bench.desk.state().snapshot.t_s == test::Approx(from_s + 0.5).margin(0.06));
    bench.press("+", 0);
    bench.frame({}, 0.5);
    CHECK(bench.desk.state().snapshot.t_s == test::Approx(from_s + 1.5).margin(0.06));
    for (int i = 0; i < 12 && bench.desk.past(); ++i) bench.frame({}, 0.5);
    CHECK_FALSE(bench.desk.past());
  }
  SECTION("a click on the strip goes there, from now as well") {
    bench.press("Esc");
    CHECK_FALSE(bench.desk.past());
    const auto span = timeline_span(bench.session, std::nullopt);
    Canvas canvas(*ImGui::GetBackgroundDrawList(), bench.stage.typography(), dark_theme(), nullptr);
    const Rect strip = timeline_strip(canvas, bench.stage.layout().timeline);
    Input click;
    click.clicked = true;
    click.mouse_x = strip.x + strip.w * static_cast<float>((10 - span.first) / (span.second - span.first));
    click.mouse_y = strip.middle_y();
    bench.frame(click);
    bench.frame();
    REQUIRE(bench.desk.past());
    CHECK(bench.desk.state().snapshot.t_s == test::Approx(10).margin(0.2));
  }
  SECTION("nothing pressed there changes the cut that is on, but what is kept is kept of now") {
    CHECK(bench.desk.take(live::ChangeCard{bench.desk.state().card}));
    CHECK(bench.desk.take(live::MarkPass{}));
    CHECK(bench.desk.take(live::TurnRig{}));
    CHECK_FALSE(bench.desk.take(live::KeepMinute{}));
    bench.frame();
    CHECK(prepare_keeping(bench.now, bench.view).text.find("changes nothing") != std::string::npos);
    bench.press("Esc");
    CHECK_FALSE(bench.desk.take(live::ChangeCard{bench.now.card}));
  }
}

TEST_CASE("a dropped file is replayed while listening rests, and Esc lets it go on") {
  Bench bench;
  std::vector<float> tone(48000);
  for (std::size_t i = 0; i < tone.size(); ++i) tone[i] = 0.1F * static_cast<float>(std::sin(0.1 * static_cast<double>(i)));
  const auto file = bench.folder / "cut.wav";
  test::write_bytes(file, test::float_wav(48000, 1, tone));
  Input drop;
  drop.dropped = {file.string()};
  bench.frame(drop);
  REQUIRE(bench.wait_for([&] { return bench.desk.past() && bench.view.past && bench.view.past->heard_s > 0.9; }));
  REQUIRE(bench.sent.size() == 1);
  CHECK(std::get<live::PauseListening>(bench.sent.front()).on);
  CHECK(bench.view.past->recording);
  CHECK(bench.view.past->length_s == test::Approx(1));
  CHECK(prepare_keeping(bench.now, bench.view).text.find("listening rests") != std::string::npos);
  CHECK(bench.desk.state().source.kind == live::SourceKind::recording);
  // The card that was on the screen, and what is changed is changed in the replay.
  CHECK(bench.desk.state().card.entered_rpm() == bench.now.card.entered_rpm());
  auto card = bench.desk.state().card;
  card.programmed_rpm = 4321;
  card.override_percent = 100;
  CHECK(bench.desk.take(live::ChangeCard{card}));
  CHECK(bench.wait_for([&] { return bench.desk.state().card.programmed_rpm == 4321; }));
  CHECK(bench.sent.size() == 1);
  bench.press("Esc");
  CHECK_FALSE(bench.desk.past());
  REQUIRE(bench.sent.size() == 2);
  CHECK_FALSE(std::get<live::PauseListening>(bench.sent.back()).on);
}

TEST_CASE("what cannot be opened is said in the list in one line, and listening goes on") {
  Bench bench;
  bench.press("O");
  REQUIRE(bench.desk.list_open());
  CHECK(bench.wait_for([&] { return bench.says("no journal in"); }));
  bench.type("/nowhere/cut.wav");
  bench.press("Enter");
  CHECK(bench.wait_for([&] { return bench.says("no such file"); }));
  CHECK(bench.sent.empty());
  CHECK_FALSE(bench.desk.past());
  bench.press("Esc");
  CHECK_FALSE(bench.desk.list_open());
}

TEST_CASE("what a kept session tried on this cut counts as tried by one key in the list") {
  Bench bench;
  {
    journal::Journal journal(bench.folder.path());
    journal::SessionRow session;
    session.started_utc = "2026-11-25T08:00:00Z";
    session.source_kind = "microphone";
    session.source = "desk";
    session.sample_rate_hz = 48000;
    session.program_version = session.settings = "-";
    const auto number = journal.begin_session(session);
    journal.add(number, live::card_row(0, bench.now.card));
    for (const auto& [rpm, outcome] : {std::pair{7200.0, "chattered"}, {5200.0, "held"}}) {
      journal::TrialRow row;
      row.number = rpm > 6000 ? 1 : 2;
      row.spindle_rpm = rpm;
      row.to_s = 10;
      row.outcome = outcome;
      journal.put(number, row);
    }
  }
  bench.press("O");
  REQUIRE(bench.wait_for([&] { return bench.says("desk"); }));
  SECTION("the trials go to the adviser, and the list says which") {
    bench.press("Tab");
    REQUIRE(bench.wait_for([&] { return !bench.sent.empty(); }));
    const auto* tried = std::get_if<live::TakeTried>(&bench.sent.front());
    REQUIRE(tried != nullptr);
    REQUIRE(tried->trials().size() == 2);
    CHECK(tried->trials()[0] == advise::Trial{5200, advise::Outcome::held, {}});
    bench.frame();
    CHECK(bench.says("Session 1 taken; counts now: 5200:held, 7200:chattered."));
    foresee(bench.sent.front(), bench.now);
    bench.press("Tab");  // and back
    REQUIRE(bench.wait_for([&] { return bench.sent.size() == 2; }));
    CHECK(std::get<live::TakeTried>(bench.sent.back()).trials().empty());
    bench.frame();
    CHECK(bench.says("taken back; nothing of earlier sessions counts now."));
    // On the ladder they have their marks, and the adviser's arrow does not point at one that chattered.
    foresee(bench.sent.front(), bench.now);
    const auto ladder = prepare_ladder(bench.now, AdviceView{}, trial::SpeedTable{});
    CHECK(std::count_if(ladder.trials.begin(), ladder.trials.end(), [](const auto& mark) { return mark.rpm == 7200 && mark.outcome == advise::Outcome::chattered; }) == 1);
  }
  SECTION("not for another cut") {
    bench.now.card.flutes = 7;
    bench.press("Tab");
    REQUIRE(bench.wait_for([&] { return bench.says("tried nothing on this cut"); }));
    CHECK(bench.sent.empty());
  }
}

TEST_CASE("the list shows sessions with each of their sounds, and a path as a file to be opened") {
  SessionsCard card;
  live::Shelf::Sessions kept;
  kept.list.push_back({7, "2026-11-26 10:15:00 +01:00", 61.0, "Bracket, 12 mm", 2, {{"session", 0, 61, {"a.wav"}}, {"minute", 1, 60, {"b.wav"}}}});
  kept.list.push_back({6, "2026-11-25 09:00:00 +01:00", std::nullopt, "Tray", 0, {}});
  card.take(kept);
  REQUIRE(card.lines().size() == 3);
  CHECK(card.chosen()->session == 7);
  card.press("Down");
  CHECK(card.chosen()->sound.kind == "minute");
  card.press("Down");
  card.press("Down");
  CHECK(card.selected() == 2);
  CHECK_FALSE(card.chosen());  // nothing of its sound was kept
  CHECK(card.type(U"/home/üser/x.wav"));
  CHECK(card.words() == "/home/\xC3\xBCser/x.wav");
  card.press("Home");
  REQUIRE(card.chosen());
  CHECK(card.chosen()->file == "/home/\xC3\xBCser/x.wav");
  for (int i = 0; i < 10; ++i) card.press("Backspace");  // back over the letter of two bytes
  CHECK(card.words() == "/home/");  // never half a letter
}

TEST_CASE("no key means two things in a replay, and each has its line on the card") {
  for (const ReplayKeyLine& a : replay_key_lines()) {
    CHECK(replay_action_for(a.key) == a.action);
    for (const ReplayKeyLine& b : replay_key_lines()) {
      if (&a == &b) continue;
      CHECK(std::string(a.key) != b.key);
      CHECK((*b.other == '\0' || std::string(a.key) != b.other));
    }
  }
}
