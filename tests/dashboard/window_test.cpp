// The real window on a display of the test's own: what the state says is in the pixels, and real keys reach the door.
#include <atomic>
#include <chrono>
#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <random>
#include <sstream>
#include <thread>

#include "dashboard/dashboard.hpp"
#include "dashboard/plain_window.hpp"
#include "display.hpp"
#include "made_state.hpp"
#include "picture.hpp"
#include "support/catch.hpp"

namespace {

using namespace hushmill;
using namespace hushmill::dashboard;
using hushmill::test::alike;
using hushmill::test::Made;
using hushmill::test::Picture;
namespace fs = std::filesystem;

struct Text {
  std::string panel, words;
  Rect box;
};
struct Mark {
  std::string panel, what;
  float x = 0, y = 0;
};

/// What one run of the dashboard left behind.
struct Shown {
  Picture picture;
  std::vector<Text> texts;
  std::vector<Mark> marks;
  std::vector<live::Command> commands;

  const Text* text(const std::string& words) const {
    for (const Text& one : texts) {
      if (one.words.find(words) != std::string::npos) return &one;
    }
    return nullptr;
  }
  std::vector<Mark> all(const std::string& what) const {
    std::vector<Mark> found;
    for (const Mark& one : marks) {
      if (one.what == what) found.push_back(one);
    }
    return found;
  }
};

void read_report(const std::string& file, std::vector<Text>& texts, std::vector<Mark>& marks) {
  std::ifstream in(file);
  for (std::string line; std::getline(in, line);) {
    std::vector<std::string> parts;
    std::stringstream row(line);
    for (std::string part; std::getline(row, part, '\t');) parts.push_back(part);
    if (parts.size() >= 9 && parts[0] == "text") {
      texts.push_back(
          {parts[1], parts[8], {std::stof(parts[2]), std::stof(parts[3]), std::stof(parts[4]), std::stof(parts[5])}});
    } else if (parts.size() >= 5 && parts[0] == "mark") {
      marks.push_back({parts[1], parts[4], std::stof(parts[2]), std::stof(parts[3])});
    }
  }
}

/// Shows a made-up session; `meanwhile` runs beside it once the window stands and has taken the whole session in.
template <class Meanwhile>
Shown show(Made what, DashboardSettings settings, Meanwhile meanwhile, double shot_after_s = 1.5) {
  const test::OwnDisplay display(1920, 1200);
  const fs::path folder = fs::temp_directory_path() / ("hushmill-window-" + std::to_string(std::random_device{}()));
  fs::create_directories(folder);
  settings.screenshot_file = (folder / "screen.png").string();
  settings.drawn_text_file = (folder / "screen.txt").string();
  settings.screenshot_after_s = shot_after_s;
  settings.close_after_s = shot_after_s;
  settings.scale = 1;
  const auto states = test::made_session(what, 0.05);
  std::atomic<std::size_t> next{0};
  std::vector<live::Command> commands;
  const InstrumentDoor door{[&](live::State& state) {
                              if (next >= states.size()) return false;
                              state = states[next++];
                              return true;
                            },
                            [&](const live::Command& command) {
                              commands.push_back(command);
                              return true;
                            }};
  std::thread beside([&] {
    while (next < states.size()) std::this_thread::sleep_for(std::chrono::milliseconds(20));
    meanwhile();
  });
  const int code = run_dashboard(settings, door);
  beside.join();
  REQUIRE(code == 0);
  REQUIRE(next == states.size());
  Shown shown{Picture(settings.screenshot_file), {}, {}, commands};
  read_report(settings.drawn_text_file, shown.texts, shown.marks);
  fs::remove_all(folder);
  return shown;
}

Shown show(Made what, const DashboardSettings& settings = {}) {
  return show(what, settings, [] {});
}

}  // namespace

TEST_CASE("a chattering state stands in the window: colour, shape, words and marks", "[window]") {
  const Theme theme = dark_theme();
  const Shown chatter = show(Made::chatter), steady = show(Made::steady);
  REQUIRE(chatter.picture.width() == 1280);
  REQUIRE(chatter.picture.height() == 720);

  // Words, each where its panel is.
  const Text* word = chatter.text("CHATTER");
  REQUIRE(word);
  CHECK(word->panel == "Verdict");
  CHECK(chatter.text("1 807 Hz, between tooth multiples 4 and 5"));
  CHECK(chatter.text("Turn the speed DOWN one step, to 5 400."));
  CHECK(chatter.text("S5390 F1294"));
  CHECK(steady.text("STEADY"));
  CHECK(steady.text("Quiet so far at 6 000"));
  CHECK_FALSE(steady.text("Turn the speed"));
  // The word is drawn in ink: capitals fill a fair part of their box.
  const float box_px = word->box.w * word->box.h;
  CHECK(chatter.picture.count(word->box.x, word->box.y, word->box.w, word->box.h, theme.ink, 20) >
        static_cast<int>(0.2F * box_px));

  // Shape and colour: red where both are filled; on the diagonal a disc is filled and a diamond is not.
  const Mark shape = chatter.all("shape").at(0), calm = steady.all("shape").at(0);
  const float r = 50;
  CHECK(alike(chatter.picture.at(shape.x, shape.y - 0.6F * r), theme.danger));
  CHECK(alike(steady.picture.at(calm.x, calm.y - 0.6F * r), theme.normal));
  const float off = 0.56F * r;
  CHECK_FALSE(alike(chatter.picture.at(shape.x + off + 4, shape.y + off + 4), theme.danger));
  CHECK(alike(steady.picture.at(calm.x + off, calm.y + off), theme.normal));

  // The family's marks stand where the frequencies say, by the tooth marks' own scale, and are red.
  const auto teeth = chatter.all("tooth line");
  REQUIRE(teeth.size() >= 9);
  const double tooth_hz = 5983.2 * 4 / 60;  // the made-up session's measured speed
  const double px_per_hz = static_cast<double>(teeth[8].x - teeth[0].x) / (8 * 398.8667);
  CHECK_THAT(tooth_hz, test::WithinAbs(398.88, 0.02));
  const auto lines = chatter.all("chatter line");
  for (const double hz : {1807.0, 1807.0 - tooth_hz, 1807.0 + 2 * tooth_hz}) {
    const double x = static_cast<double>(teeth[0].x) + (hz - 398.8667) * px_per_hz;
    double nearest = 1e9;
    for (const Mark& line : lines) nearest = std::min(nearest, std::abs(static_cast<double>(line.x) - x));
    INFO(hz << " Hz is expected at " << x);
    CHECK(nearest < 1.5);
    CHECK(chatter.picture.count(static_cast<float>(x) - 5, lines.at(0).y - 5, 10, 10, theme.danger) > 15);
  }
  CHECK(steady.all("chatter line").empty());
  CHECK(steady.picture.count(teeth[0].x, lines.at(0).y - 6, 320, 12, theme.danger) == 0);

  // Folded view: bright under the mark of the chatter's fraction, dark half-way to the teeth; the other way round when
  // steady.
  const Mark fraction = chatter.all("chatter fraction").at(0), left = chatter.all("left edge").at(0),
             right = chatter.all("right edge").at(0);
  const double order = 1807.0 / 398.8667;
  const double share = order - std::round(order) + 0.5;
  CHECK_THAT(static_cast<double>(fraction.x),
             test::WithinAbs(static_cast<double>(left.x) + share * static_cast<double>(right.x - left.x), 1.0));
  const float row_5 = left.y - (left.y - fraction.y) * 4.5F / 12;
  const float inward = fraction.x < (left.x + right.x) / 2 ? 2.0F : -2.0F;
  CHECK(luminance(chatter.picture.at(fraction.x + inward, row_5)) > 0.3);
  CHECK(luminance(steady.picture.at(fraction.x + inward, row_5)) < 0.1);
  CHECK(luminance(steady.picture.at((left.x + right.x) / 2, row_5)) > 0.15);

  // Ladder: the white arrow's tip lies between 5 000 and 5 500, the pointer at 5983, on one straight scale.
  const Mark arrow = chatter.all("first arrow").at(0), pointer = chatter.all("pointer").at(0);
  const Text *low = chatter.text("5 000"), *high = chatter.text("7 000");
  REQUIRE(low);
  REQUIRE(high);
  const double px_per_rpm = static_cast<double>(low->box.y - high->box.y) / 2000;
  CHECK_THAT(static_cast<double>(arrow.y - pointer.y), test::WithinAbs((5983.2 - 5400) * px_per_rpm, 1.5));
  CHECK(alike(chatter.picture.at(arrow.x, (arrow.y + pointer.y) / 2), theme.ink));
  CHECK(steady.all("first arrow").empty());
}

TEST_CASE("the light theme and a larger window say the same", "[window]") {
  DashboardSettings settings;
  settings.width = 1920;
  settings.height = 1080;
  settings.light_theme = true;
  const Shown shown = show(Made::building, settings);
  REQUIRE(shown.picture.width() == 1920);
  const Theme theme = light_theme();
  const Mark shape = shown.all("shape").at(0);
  CHECK(alike(shown.picture.at(shape.x, shape.y - 10), theme.abnormal));
  CHECK(shown.text("BUILDING"));
  const Text* word = shown.text("BUILDING");
  CHECK(word->box.h >= 108);
  CHECK(alike(shown.picture.at(4, 4), theme.ground));
}

TEST_CASE("the history's picture is in the window, loud where the chatter is", "[window]") {
  const Shown shown = show(Made::chatter);
  const Mark onset = shown.all("onset").at(0);
  const Text *zero = nullptr, *two = nullptr;
  for (const Text& text : shown.texts) {
    if (text.panel != "Last 20 s") continue;
    if (text.words == "0") zero = &text;
    if (text.words == "2 000") two = &text;
  }
  REQUIRE(zero);
  REQUIRE(two);
  // 1807 Hz by the scale's own numbers; the lowest label is pushed up a little, so measure from 2 000 and 4 000.
  const Text* four = nullptr;
  for (const Text& text : shown.texts) {
    if (text.panel == "Last 20 s" && text.words == "4 000") four = &text;
  }
  REQUIRE(four);
  const float px_per_hz = (two->box.middle_y() - four->box.middle_y()) / 2000;
  const float y = two->box.middle_y() + 193 * px_per_hz;
  double after = 0, before = 0;
  for (float dy = -3; dy <= 3; ++dy) {
    after = std::max(after, luminance(shown.picture.at(onset.x + 60, y + dy)));
    before = std::max(before, luminance(shown.picture.at(onset.x - 60, y + dy)));
  }
  CHECK(after > 0.5);
  CHECK(before < 0.1);
}

TEST_CASE("real keys turn the knob and change the look", "[window]") {
  int pressed = -1;
  const Shown shown = show(
      Made::chatter, {},
      [&pressed] { pressed = std::system("xdotool mousemove 600 400 key Down key 1 >/dev/null 2>&1"); }, 6);
  REQUIRE(pressed == 0);  // xdotool comes with the package of that name
  bool turned = false;
  for (const live::Command& command : shown.commands) {
    const auto* change = std::get_if<live::ChangeCard>(&command);
    turned = turned || (change && change->card.override_percent == 90);
  }
  CHECK(turned);
  CHECK_FALSE(shown.text("Speed ladder"));  // across the room: verdict, advice and cautions only
  CHECK(shown.text("Set to 5 400: wait for the spindle, then listen."));
}

TEST_CASE("without a display the dashboard says so, so that the terminal can take over", "[window]") {
  unsetenv("DISPLAY");
  unsetenv("WAYLAND_DISPLAY");
  CHECK_THROWS_AS(run_dashboard({}, {[](live::State&) { return false; }, [](const live::Command&) { return true; }}),
                  NoDisplay);
  setenv("DISPLAY", ":nonsense", 1);
  CHECK_THROWS_AS(run_dashboard({}, {[](live::State&) { return false; }, [](const live::Command&) { return true; }}),
                  NoDisplay);
}

TEST_CASE("a plain screen writes what it draws while it runs") {
  const test::OwnDisplay display(640, 480);
  const fs::path folder = fs::temp_directory_path() / ("hushmill-plain-" + std::to_string(std::random_device{}()));
  fs::create_directories(folder);
  DashboardSettings settings;
  settings.width = 640;
  settings.height = 480;
  settings.scale = 1;
  settings.close_after_s = 20;
  settings.drawn_text_file = (folder / "plain.txt").string();
  bool there = false;
  PlainScreen screen;
  screen.poll = [] { return true; };
  screen.unit = [](float, float, float) { return 1.0F; };
  screen.light = [] { return false; };
  screen.full_screen = [] { return false; };
  screen.leave = [&] { return there = there || fs::exists(settings.drawn_text_file); };
  screen.frame = [](Canvas& canvas, float, float, float, const Input&) {
    canvas.text({10, 10, 300, 30}, "What is drawn", {.size = 17, .colour = canvas.theme().ink});
  };
  CHECK(run_plain_window(settings, screen) == 0);
  CHECK(there);
  std::vector<Text> texts;
  std::vector<Mark> marks;
  read_report(settings.drawn_text_file, texts, marks);
  REQUIRE(texts.size() == 1);
  CHECK(texts[0].words == "What is drawn");
  fs::remove_all(folder);
}
