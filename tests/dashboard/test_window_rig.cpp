// The whole instrument behind a real window: the simulated machine is cut deeper with real keys until it chatters, the
// knob is turned one step down, into the scene's known cure, and the screen says steady again. Whether the adviser
// finds that cure is for its own tests. Waits for what happens; no time is asserted.
#include <atomic>
#include <chrono>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <random>
#include <sstream>
#include <thread>

#include "capture/rig_source.hpp"
#include "dashboard/dashboard.hpp"
#include "display.hpp"
#include "live/live.hpp"
#include "rig/rig_settings.hpp"
#include "support/catch.hpp"

namespace {

using namespace hushmill;

constexpr double kMostS = 150;  // far more than it takes, so that a busy machine does not fail the test

/// What the person beside the window can see of the instrument.
struct Seen {
  std::atomic<bool> running{true};
  std::atomic<int> verdict{0};
  std::atomic<bool> advised{false};
  std::atomic<double> quiet_s{0};
};

template <class Until>
bool wait_for(const Seen& seen, Until until) {
  while (seen.running) {
    if (until()) return true;
    std::this_thread::sleep_for(std::chrono::milliseconds(50));
  }
  return false;
}

void press(const std::string& keys) {
  const std::string command = "xdotool mousemove 600 400 key --delay 40 " + keys + " >/dev/null 2>&1";
  if (std::system(command.c_str()) != 0) std::this_thread::sleep_for(std::chrono::milliseconds(200));
}

std::string repeated(const std::string& key, int times) {
  std::string keys;
  for (int i = 0; i < times; ++i) keys += key + " ";
  return keys;
}

bool is(const Seen& seen, listen::Verdict verdict) { return seen.verdict == static_cast<int>(verdict); }

/// The operator's part of the scene.
void operate(Seen& seen) {
  std::this_thread::sleep_for(std::chrono::milliseconds(2500));  // some room before the cut
  press("space");
  wait_for(seen, [&] { return is(seen, listen::Verdict::steady); });
  press(repeated("Right", 18));  // 1.2 mm to 3 mm
  if (!wait_for(seen, [&] { return is(seen, listen::Verdict::chatter) && seen.advised; })) return;
  std::this_thread::sleep_for(std::chrono::seconds(3));  // a person reads first; the deeper cut has settled by then
  press("Down");  // 90 % of 6800 is 6120; the scene is quiet from 6000
  wait_for(seen, [&] { return seen.quiet_s > 11; });
  press("ctrl+q");
}

}  // namespace

TEST_CASE("with real keys: deeper until it chatters, a step down, and the screen says quiet", "[window]") {
  const test::OwnDisplay display(1280, 720);
  rig::RigSettings scene = rig::bracket_wall();
  scene.start.in_cut = false;
  live::LiveSettings settings;
  settings.card.programmed_rpm = scene.start.spindle_rpm;
  settings.card.flutes = scene.model.cutter.flutes;
  settings.card.diameter_mm = scene.model.cutter.diameter_mm;
  settings.card.depth_mm = scene.start.depth_mm;
  settings.card.radial_mm = scene.start.radial_mm;
  settings.card.milling = advise::Milling::climb;
  live::Live instrument(settings, std::make_unique<capture::RigSource>(rig::Rig(scene)));

  const auto report = std::filesystem::temp_directory_path() /
                      ("hushmill-rig-window-" + std::to_string(std::random_device{}()) + ".txt");
  dashboard::DashboardSettings window;
  window.scale = 1;
  window.drawn_text_file = report.string();
  window.close_after_s = kMostS;

  Seen seen;
  live::State last;
  bool chattered = false;
  double chatter_rpm = 0, steady_since_s = 0, deep_since_s = 0;
  const dashboard::InstrumentDoor door{[&](live::State& state) {
                                         if (!instrument.poll(state)) return false;
                                         last = state;
                                         if (!state.card.depth_mm || *state.card.depth_mm < 2.95)
                                           deep_since_s = state.snapshot.t_s;
                                         seen.verdict = static_cast<int>(state.snapshot.verdict);
                                         if (state.snapshot.verdict == listen::Verdict::chatter && state.advice_ready &&
                                             state.advice.prefer && !seen.advised && state.card.depth_mm &&
                                             *state.card.depth_mm > 2.95) {
                                           chattered = true;
                                           chatter_rpm = state.card.entered_rpm();
                                           seen.advised = true;
                                         }
                                         if (state.snapshot.verdict != listen::Verdict::steady)
                                           steady_since_s = state.snapshot.t_s;
                                         const bool turned = chattered && state.card.entered_rpm() != chatter_rpm;
                                         seen.quiet_s = turned ? state.snapshot.t_s - steady_since_s : 0;
                                         return true;
                                       },
                                       [&](const live::Command& command) { return instrument.send(command); }};
  std::thread operator_at_the_keys([&] { operate(seen); });
  const int code = dashboard::run_dashboard(window, door);
  seen.running = false;
  operator_at_the_keys.join();
  CHECK(code == 0);

  std::ifstream in(report);
  std::stringstream words;
  words << in.rdbuf();
  std::filesystem::remove(report);
  REQUIRE(chattered);
  INFO("last verdict " << static_cast<int>(last.snapshot.verdict) << " at " << last.card.entered_rpm() << " rev/min");
  CHECK(chatter_rpm == 6800);
  CHECK(last.card.entered_rpm() == 6120);
  CHECK(last.rig->spindle_rpm == last.card.entered_rpm());
  CHECK(last.snapshot.verdict == listen::Verdict::steady);
  // The engine's last word is the screen's.
  CHECK(words.str().find("\tSTEADY\n") != std::string::npos);
  CHECK(words.str().find("uiet so far at 6 120") != std::string::npos);  // begins a line, or follows in one
}
