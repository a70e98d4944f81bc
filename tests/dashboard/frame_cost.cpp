#include "frame_cost.hpp"

#include <imgui.h>

#include <algorithm>
#include <cmath>
#include <ctime>
#include <vector>

#include "made_state.hpp"
#include "stage.hpp"

namespace hushmill::test {
namespace {

double quantile(std::vector<double> values, double share) {
  const auto at = values.begin() + static_cast<std::ptrdiff_t>(share * static_cast<double>(values.size() - 1));
  std::nth_element(values.begin(), at, values.end());
  return *at;
}

constexpr int kWarmFrames = 80;  // until every list has had its longest form

/// What moves while it chatters: time, levels, the heard speed, the line's place, the trial's seconds.
void move_on(live::State& state, const live::State& from, double by_s, const std::vector<float>& spectrum) {
  const double wander = std::sin(by_s);
  listen::Snapshot& now = state.snapshot;
  now.t_s = from.snapshot.t_s + by_s;
  now.spectrum_dbfs = spectrum;
  now.level_dbfs = from.snapshot.level_dbfs + 2 * wander;
  now.peak_dbfs = from.snapshot.peak_dbfs + 2 * wander;
  now.measured_rpm = *from.snapshot.measured_rpm + 4 * wander;
  now.tooth_passing_hz = *now.measured_rpm * 4 / 60;
  now.chatter->dbfs = from.snapshot.chatter->dbfs + 6 * wander;
  now.chatter->chatter_hz = from.snapshot.chatter->chatter_hz + 3 * wander;
  now.chatter->share = 0.6 + 0.2 * wander;
  state.episodes.back().end_s = now.t_s;
  trial::Trial& running = state.trials.back();
  running.to_s = now.t_s;
  running.cut_s = from.trials.back().cut_s + by_s;
  running.chatter_s = from.trials.back().chatter_s + by_s;
}

/// Processor time of this thread, so that what else runs on the machine does not count.
double now_ms() {
  timespec now{};
  clock_gettime(CLOCK_THREAD_CPUTIME_ID, &now);
  return 1e3 * static_cast<double>(now.tv_sec) + 1e-6 * static_cast<double>(now.tv_nsec);
}

}  // namespace

FrameCost frame_cost(float width_px, float height_px, float scale, dashboard::Look look, int frames,
                     const std::function<long long()>& allocations) {
  Stage stage({width_px, height_px, scale, false, look, true, false});
  stage.show(made_session(Made::chatter, 0.05));
  const live::State from = stage.state();
  std::vector<std::vector<float>> spectra;
  for (int i = 0; i < 16; ++i) spectra.push_back(made_state(Made::chatter, 60 + 0.025 * i).snapshot.spectrum_dbfs);
  live::State moment = from;
  std::vector<double> screen_ms, empty_ms;
  screen_ms.reserve(static_cast<std::size_t>(frames));
  empty_ms.reserve(static_cast<std::size_t>(frames));
  long long of_new = 0, of_still = 0;
  dashboard::Input input;
  input.dt_s = 0.025;
  for (int i = 0; i < frames; ++i) {
    move_on(moment, from, 0.025 * (i + 1), spectra[static_cast<std::size_t>(i) % spectra.size()]);
    long long before = allocations();
    double start_ms = now_ms();
    stage.next(moment, input);
    screen_ms.push_back(now_ms() - start_ms);
    if (i >= kWarmFrames) of_new += allocations() - before;
    before = allocations();
    stage.again(input);
    if (i >= kWarmFrames) of_still += allocations() - before;
    start_ms = now_ms();
    ImGui::NewFrame();
    ImGui::Render();
    empty_ms.push_back(now_ms() - start_ms);
  }
  const int counted = std::max(1, frames - kWarmFrames);
  return {quantile(screen_ms, 0.5), quantile(screen_ms, 0.99), quantile(empty_ms, 0.5),
          static_cast<double>(of_new) / counted, static_cast<double>(of_still) / counted};
}

}  // namespace hushmill::test
