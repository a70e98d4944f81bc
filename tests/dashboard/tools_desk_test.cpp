// The tools of a job and the cuts in files: one key to the next tool, a word when the sound fits another, a cut taken and written.
#include <imgui.h>

#include <chrono>
#include <fstream>
#include <thread>

#include "dashboard/tools_desk.hpp"
#include "journal/journal.hpp"
#include "made_state.hpp"
#include "stage.hpp"
#include "support/catch.hpp"
#include "support/temporary_folder.hpp"

using namespace hushmill;
using namespace hushmill::dashboard;
using hushmill::test::Made;
using hushmill::test::made_state;

namespace {

Tools three_tools() {
  return {{3, "End mill 12 mm", 4, 12.0, 18000.0}, {5, "End mill 8 mm", 3, 8.0, 24000.0}, {9, "Face mill 50 mm", 6, 50.0, 9000.0}};
}

Input key(const std::string& name) {
  Input input;
  input.keys = {name};
  return input;
}

/// The card that was sent; one of no flutes when there was none.
live::CutCard card_in(const std::vector<live::Command>& commands) {
  live::CutCard none;
  none.flutes = 0;
  for (const auto& command : commands)
    if (const auto* change = std::get_if<live::ChangeCard>(&command)) return change->card;
  return none;
}

template <class Done>
bool wait_for(ToolsDesk& desk, const live::State& state, Done done) {
  for (int i = 0; i < 1000; ++i) {
    desk.pass(0.005, state);
    if (done()) return true;
    std::this_thread::sleep_for(std::chrono::milliseconds(5));
  }
  return false;
}

}  // namespace

TEST_CASE("the sound fits another tool of the list only when flutes differ, the speed does not, and no two tools do") {
  live::CutCard card;
  card.programmed_rpm = 6000;
  card.flutes = 4;
  CHECK(tool_that_fits(three_tools(), card, listen::OtherFit{6003, 3}) == 1U);
  CHECK_FALSE(tool_that_fits(three_tools(), card, listen::OtherFit{5400, 4}));  // another speed is no other tool
  CHECK_FALSE(tool_that_fits(three_tools(), card, listen::OtherFit{6000, 2}));
  CHECK_FALSE(tool_that_fits(three_tools(), card, std::nullopt));
  Tools twins = three_tools();
  twins.push_back({11, "Another of three flutes", 3, 10.0, {}});
  CHECK_FALSE(tool_that_fits(twins, card, listen::OtherFit{6000, 3}));
  card.radial_mm = 9;
  const auto changed = card_with(three_tools()[1], card);
  CHECK(changed.flutes == 3);
  CHECK(changed.diameter_mm == 8.0);
  CHECK(changed.tool_max_rpm == 24000.0);
  CHECK_FALSE(changed.radial_mm);  // wider than this tool
  CHECK(changed.programmed_rpm == 6000);
}

TEST_CASE("one key goes round the tools of the job, and to the one that the sound fits") {
  const test::TemporaryFolder folder;
  {
    journal::Journal journal(folder.path());
    for (const auto& tool : three_tools()) journal.add_tool("Bracket", tool);
  }
  ToolsDesk desk({folder.path(), "Bracket", {}});
  live::State state = made_state(Made::chatter, 12.0, false);
  state.card.flutes = 4;
  state.card.diameter_mm = 12;
  REQUIRE(wait_for(desk, state, [&] { return desk.words(state) == "T3 End mill 12 mm"; }));
  ViewState view;
  std::vector<live::Command> commands;
  Input input = key("N");
  desk.take_input(state, view, input, commands);
  CHECK(input.keys.empty());
  CHECK(card_in(commands).flutes == 3);
  CHECK(std::get<live::TakeUp>(commands.front()).words() == "T5 End mill 8 mm");
  CHECK(view.undo.size() == 1);
  // The sound says six flutes: then that is the next tool.
  state.other_fit = listen::OtherFit{state.card.entered_rpm(), 6};
  CHECK(desk.words(state) == "Sounds like T9 Face mill 50 mm: N takes it");
  commands.clear();
  input = key("N");
  desk.take_input(state, view, input, commands);
  CHECK(card_in(commands).flutes == 6);
}

TEST_CASE("a cut is taken from a file, a bad file says why, and the present cut is written down") {
  const test::TemporaryFolder folder;
  const auto cuts = folder / "cuts";
  std::filesystem::create_directories(cuts);
  std::ofstream(cuts / "a.toml") << "title = \"Tray floor\"\nprogrammed_rpm = 8000\nflutes = 2\ndiameter_in = 0.5\n";
  std::ofstream(cuts / "b.toml") << "title = \"Bad\"\nprogrammed_rpm = 8000\nflutes = 2\ndiameter_cm = 1\n";
  test::Stage stage({});
  ToolsDesk desk({{}, {}, {cuts}});
  live::State state = made_state(Made::steady, 12.0, false);
  ViewState view;
  std::vector<live::Command> commands;
  const auto press = [&](const std::string& name) {
    Input input = key(name);
    desk.take_input(state, view, input, commands);
  };
  Report report;
  const auto says = [&](const std::string& words) {
    ImGui::NewFrame();
    report = {};
    Canvas canvas(*ImGui::GetBackgroundDrawList(), stage.typography(), dark_theme(), &report);
    desk.draw(canvas, {0, 150, 1280, 570}, Units::metric);
    ImGui::Render();
    for (const auto& text : report.texts)
      if (text.text.find(words) != std::string::npos) return true;
    return false;
  };
  press("S");
  REQUIRE(desk.open());
  REQUIRE(wait_for(desk, state, [&] { return says("Tray floor"); }));
  press("Down");
  press("Enter");
  CHECK(says("line 4: diameter_cm is 1, in a unit that is not known here"));
  CHECK(commands.empty());
  press("Up");
  press("Enter");
  CHECK(card_in(commands).programmed_rpm == 8000);
  CHECK(card_in(commands).diameter_mm.value_or(0) == test::Approx(12.7));
  CHECK_FALSE(desk.open());

  press("S");
  Input typed;
  for (const char c : std::string("Rail slot")) typed.typed.push_back(static_cast<char32_t>(c));
  desk.take_input(state, view, typed, commands);
  CHECK(says("Write down as \"Rail slot\""));
  press("Enter");
  REQUIRE(wait_for(desk, state, [&] { return !desk.open(); }));
  CHECK(desk.words(state) == "Written to rail-slot.toml");
  CHECK(setup::load_cut_sheet(cuts / "rail-slot.toml").programmed_rpm == state.card.programmed_rpm);
  using std::filesystem::perms;
  CHECK(std::filesystem::status(cuts / "rail-slot.toml").permissions() == (perms::owner_read | perms::owner_write));

  // A title is no way out of the folder.
  press("S");
  typed.typed.clear();
  for (const char c : std::string("../../x")) typed.typed.push_back(static_cast<char32_t>(c));
  desk.take_input(state, view, typed, commands);
  press("Enter");
  REQUIRE(wait_for(desk, state, [&] { return !desk.open(); }));
  CHECK(desk.words(state) == "Written to x.toml");
  CHECK(std::filesystem::exists(cuts / "x.toml"));
}
