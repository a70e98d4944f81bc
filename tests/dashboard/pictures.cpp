// Writes pictures of the dashboard for a person to look at: every look, three sizes, both themes. Not a test; run by
// hand:
//   dashboard_pictures FOLDER [NAME]
#include <cstdio>
#include <filesystem>
#include <string>
#include <vector>

#include "dashboard/dashboard.hpp"
#include "display.hpp"
#include "made_state.hpp"

namespace {

using hushmill::dashboard::Look;
using hushmill::test::Made;

struct Picture {
  const char* name;
  Made what;
  int width, height;
  double scale;
  bool light, rig;
  Look look;
};

const std::vector<Picture> kPictures{
    {"chatter-1280", Made::chatter, 1280, 720, 1, false, true, Look::bench},
    {"chatter-1280-light", Made::chatter, 1280, 720, 1, true, false, Look::bench},
    {"steady-1280", Made::steady, 1280, 720, 1, false, false, Look::bench},
    {"forced-1280", Made::forced, 1280, 720, 1, false, true, Look::bench},
    {"building-1280", Made::building, 1280, 720, 1, false, true, Look::bench},
    {"air-1280", Made::air, 1280, 720, 1, false, true, Look::bench},
    {"teach-1280", Made::chatter, 1280, 720, 1, false, true, Look::teach},
    {"room-1280", Made::chatter, 1280, 720, 1, false, true, Look::room},
    {"chatter-1280-scale2", Made::chatter, 1280, 720, 2, false, true, Look::bench},
    {"tall-1280x1024", Made::forced, 1280, 1024, 1, false, true, Look::bench},
    {"chatter-1920", Made::chatter, 1920, 1080, 1, false, true, Look::bench},
    {"chatter-1920-light", Made::chatter, 1920, 1080, 1, true, true, Look::bench},
    {"teach-1920-light", Made::steady, 1920, 1080, 1, true, true, Look::teach},
    {"chatter-3840", Made::chatter, 3840, 2160, 2, false, true, Look::bench},
};

void take(const Picture& picture, const std::filesystem::path& folder) {
  const auto states = hushmill::test::made_session(picture.what, 0.05, picture.rig);
  std::size_t next = 0;
  hushmill::dashboard::InstrumentDoor door;
  door.poll = [&](hushmill::live::State& state) {
    if (next >= states.size()) return false;
    state = states[next++];
    return true;
  };
  door.send = [](const hushmill::live::Command&) { return true; };
  hushmill::dashboard::DashboardSettings settings;
  settings.width = picture.width;
  settings.height = picture.height;
  settings.scale = picture.scale;
  settings.light_theme = picture.light;
  settings.look = picture.look;
  settings.screenshot_after_s = 1.5;
  settings.close_after_s = 1.8;
  settings.screenshot_file = (folder / (std::string(picture.name) + ".png")).string();
  settings.drawn_text_file = (folder / (std::string(picture.name) + ".txt")).string();
  hushmill::dashboard::run_dashboard(settings, door);
  std::printf("%s\n", settings.screenshot_file.c_str());
}

}  // namespace

int main(int argc, char* argv[]) {
  if (argc < 2) {
    std::fprintf(stderr, "usage: dashboard_pictures FOLDER [NAME]\n");
    return 2;
  }
  try {
    std::filesystem::create_directories(argv[1]);
    const hushmill::test::OwnDisplay display(3840, 2160);
    for (const Picture& picture : kPictures) {
      if (argc < 3 || std::string(picture.name) == argv[2]) take(picture, argv[1]);
    }
  } catch (const std::exception& error) {
    std::fprintf(stderr, "%s\n", error.what());
    return 1;
  }
  return 0;
}
