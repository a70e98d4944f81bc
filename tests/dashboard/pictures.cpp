// Writes pictures of every view of the dashboard at three sizes and in both themes, for a person to look at. Not a test; run
// by the target `pictures`, or by hand:
//   dashboard_pictures FOLDER [PART OF A NAME]
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <string>
#include <thread>
#include <vector>

#include "dashboard/dashboard.hpp"
#include "display.hpp"
#include "made_state.hpp"
#include "palette_png.hpp"

namespace {

using namespace hushmill;
using dashboard::Look;
using test::Made;

struct View {
  const char* name;
  Made what;
  Look look;
  bool rig = true;
  bool greeting = false;
  bool keys = false;
  bool quiet_now = false;  ///< after the chatter the cut is quiet, at the same speed
};

const std::vector<View> kViews{{"greeting", Made::air, Look::bench, true, true},
                               {"bench-air", Made::air, Look::bench},
                               {"bench-steady", Made::steady, Look::bench, false},
                               {"bench-forced", Made::forced, Look::bench},
                               {"bench-building", Made::building, Look::bench},
                               {"bench-chatter", Made::chatter, Look::bench},
                               {"bench-quiet", Made::chatter, Look::bench, true, false, false, true},
                               {"teach-chatter", Made::chatter, Look::teach},
                               {"teach-steady", Made::steady, Look::teach},
                               {"room-chatter", Made::chatter, Look::room},
                               {"room-steady", Made::steady, Look::room},
                               {"keys", Made::steady, Look::bench, true, false, true}};

struct Size {
  int width, height;
  double scale;
};
const std::vector<Size> kSizes{{1280, 720, 1}, {1920, 1080, 1}, {3840, 2160, 2}};

std::vector<live::State> states_of(const View& view) {
  auto states = test::made_session(view.what, 0.05, view.rig);
  if (!view.quiet_now) return states;
  live::State quiet = test::made_state(Made::steady, states.back().snapshot.t_s, view.rig);
  quiet.episodes = states.back().episodes;
  quiet.episodes.back().open = false;
  quiet.advice = states.back().advice;
  quiet.advice_ready = true;
  quiet.trials = states.back().trials;
  for (int i = 1; i <= 60; ++i) {
    quiet.snapshot.t_s = states.back().snapshot.t_s + 0.05;
    quiet.trials.back().to_s = quiet.snapshot.t_s;
    quiet.trials.back().quiet_run_s = 0.05 * i;
    states.push_back(quiet);
  }
  return states;
}

dashboard::Offer an_offer() {
  dashboard::Offer offer;
  offer.microphones = {"Desk microphone on the bench", "Built-in microphone"};
  offer.recordings = {"recordings/tray-corners.flac", "recordings/bracket-chatter.flac", "recordings/bracket-steady.flac"};
  return offer;
}

void take(const View& view, const Size& size, bool light, const std::string& file) {
  const auto states = states_of(view);
  std::size_t next = 0;
  dashboard::InstrumentDoor door;
  door.poll = [&](live::State& state) {
    if (next >= states.size()) return false;
    state = states[next++];
    return true;
  };
  door.send = [](const live::Command&) { return true; };
  door.offer = an_offer;
  door.open = [](const dashboard::Choice&) { return std::string(); };
  dashboard::DashboardSettings settings;
  settings.width = size.width;
  settings.height = size.height;
  settings.scale = size.scale;
  settings.light_theme = light;
  settings.look = view.look;
  settings.greet = view.greeting;
  settings.screenshot_after_s = 1.0;
  settings.close_after_s = 1.1;
  settings.screenshot_file = file;
  std::thread keys;
  if (view.keys)
    keys = std::thread([] {
      std::this_thread::sleep_for(std::chrono::milliseconds(500));
      if (std::system("xdotool key F1 >/dev/null 2>&1") != 0) std::fprintf(stderr, "xdotool is missing\n");
    });
  dashboard::run_dashboard(settings, door);
  if (keys.joinable()) keys.join();
  test::to_palette(file);
  std::printf("%s\n", file.c_str());
}

}  // namespace

int main(int argc, char* argv[]) {
  if (argc < 2) {
    std::fprintf(stderr, "usage: dashboard_pictures FOLDER [PART OF A NAME]\n");
    return 2;
  }
  try {
    std::filesystem::create_directories(argv[1]);
    for (const View& view : kViews) {
      for (const Size& size : kSizes) {
        for (const bool light : {false, true}) {
          const std::string name = "view-" + std::string(view.name) + "-" + std::to_string(size.width) + (light ? "-light" : "-dark") + ".png";
          if (argc > 2 && name.find(argv[2]) == std::string::npos) continue;
          const test::OwnDisplay display(size.width, size.height);
          take(view, size, light, (std::filesystem::path(argv[1]) / name).string());
        }
      }
    }
  } catch (const std::exception& error) {
    std::fprintf(stderr, "%s\n", error.what());
    return 1;
  }
  return 0;
}
