#include "frame_cost.hpp"

#include <imgui.h>

#include <algorithm>
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
  std::vector<live::State> moments;
  for (int i = 0; i < 16; ++i) {
    moments.push_back(stage.state());
    moments.back().snapshot.spectrum_dbfs = made_state(Made::chatter, 60 + 0.025 * i).snapshot.spectrum_dbfs;
  }
  std::vector<double> screen_ms, empty_ms;
  long long of_new = 0, of_still = 0;
  dashboard::Input input;
  input.dt_s = 0.025;
  for (int i = 0; i < frames; ++i) {
    stage.state() = moments[static_cast<std::size_t>(i) % moments.size()];
    long long before = allocations();
    double start_ms = now_ms();
    stage.again(input);
    screen_ms.push_back(now_ms() - start_ms);
    of_new += allocations() - before;
    before = allocations();
    stage.again(input);
    of_still += allocations() - before;
    start_ms = now_ms();
    ImGui::NewFrame();
    ImGui::Render();
    empty_ms.push_back(now_ms() - start_ms);
  }
  return {quantile(screen_ms, 0.5), quantile(screen_ms, 0.99), quantile(empty_ms, 0.5),
          static_cast<double>(of_new) / frames, static_cast<double>(of_still) / frames};
}

}  // namespace hushmill::test
