// What the dashboard costs a frame (without the graphics driver), how often it draws, how much it allocates, and how soon
// a verdict stands on the screen after its sound was at the microphone.
#include <algorithm>
#include <string>
#include <vector>

#include "bench/frame_delay.hpp"
#include "bench/sections.hpp"
#include "dashboard/dashboard.hpp"
#include "dashboard/display.hpp"
#include "dashboard/frame_cost.hpp"
#include "dashboard/history_view.hpp"
#include "dashboard/made_state.hpp"
#include "support/counted_here.hpp"

namespace hushmill::bench {
namespace {

using dashboard::Look;
using test::Made;

constexpr int kFrames = 600;
constexpr int kOnsets = 8;

void report_cost(Report& report) {
  for (const auto& [look, name] : {std::pair{Look::bench, "bench"}, std::pair{Look::teach, "teaching"}, std::pair{Look::room, "across the room"}}) {
    const auto cost = test::frame_cost(1920, 1080, 1, look, kFrames, &test::allocations_here);
    const std::string of = std::string(", look ") + name;
    report.figure("frame at 1920x1080, processor time, median" + of, cost.screen_ms, "ms", at_most(4));
    report.figure("the same, 99 of 100" + of, cost.screen_late_ms, "ms", at_most(4));
    report.figure("over a frame of an empty ImGui window" + of, cost.screen_ms / cost.empty_ms, "ratio");
    report.figure("allocations a frame with a new state" + of, cost.allocations, "allocations", at_most(0));
    report.figure("allocations a frame without news" + of, cost.still_allocations, "allocations", at_most(0));
  }
}

// The spectrogram's texture is written by columns: as many as time went on, not the whole picture.
void report_columns(Report& report) {
  dashboard::History history;
  std::size_t painted = 0;
  int frames = 0;
  for (double t_s = 0; t_s < 30; t_s += 0.025, ++frames) {
    history.add(test::made_state(Made::chatter, t_s).snapshot);
    const auto dirty = history.take_dirty();
    if (t_s > 5) painted += dirty.size();
  }
  report.figure("columns of the spectrogram painted a frame, of 640", static_cast<double>(painted) / (frames * 25.0 / 30), "columns", at_most(2));
}

/// Frames a second in the last seconds of a run with this state.
double frames_a_second(Made what, double run_s, double counted_s) {
  const test::OwnDisplay display(1280, 720);
  dashboard::DashboardSettings window;
  window.scale = 1;
  window.close_after_s = run_s;
  double t_s = 0;
  int frames = 0;
  const auto states = test::made_session(what, 0.5);
  dashboard::InstrumentDoor door;
  bool fresh = false;
  const double from_s = run_s - counted_s;
  const auto started = std::chrono::steady_clock::now();
  const auto age_s = [&] { return std::chrono::duration<double>(std::chrono::steady_clock::now() - started).count(); };
  door.poll = [&](live::State& state) {
    if (age_s() < t_s) return false;
    state = states.back();
    state.snapshot.t_s += t_s;
    t_s += 0.025;
    fresh = !fresh;
    return true;
  };
  door.send = [](const live::Command&) { return true; };
  door.drawn = [&](const live::State&) { frames += age_s() >= from_s ? 1 : 0; };
  dashboard::run_dashboard(window, door);
  return frames / counted_s;
}

void report_rates(Report& report) {
  report.figure("frames a second while it cuts", frames_a_second(Made::chatter, 5, 3), "frames/s");
  report.figure("frames a second in a quiet shop", frames_a_second(Made::air, 10, 3), "frames/s", at_most(12));
}

void report_delay(Report& report) {
  ScreenDelays delays = screen_delays(kOnsets);
  auto& ms = delays.verdict_ms;
  std::sort(ms.begin(), ms.end());
  report.note("from the alarm's own sample (alert_s) at the microphone, told by a second recorder, to a frame with the verdict; 1280x720, software GL");
  report.figure("onsets seen through the sound server", static_cast<double>(ms.size()), "onsets", at_least(kOnsets));
  report.figure("verdict on the screen after the alarm's sample, median", ms[ms.size() / 2], "ms", at_most(100));
  report.figure("the same, worst", ms.back(), "ms", at_most(100));
  report.figure("lost microphone said on the screen after", delays.lost_ms, "ms", at_most(1000));
  report.figure("microphone heard again after it came back", delays.back_ms, "ms");
}

}  // namespace

void frame(Report& report) {
  report_cost(report);
  report_columns(report);
  report_rates(report);
  report_delay(report);
}

}  // namespace hushmill::bench
