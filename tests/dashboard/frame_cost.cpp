#include "frame_cost.hpp"

#include <imgui.h>

#include <algorithm>
#include <chrono>
#include <vector>

#include "made_state.hpp"
#include "stage.hpp"

namespace hushmill::test {
namespace {

using Clock = std::chrono::steady_clock;

double median(std::vector<double> values) {
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

double ms_since(Clock::time_point start) {
  return std::chrono::duration<double, std::milli>(Clock::now() - start).count();
}

}  // namespace

FrameCost frame_cost(float width_px, float height_px, float scale, dashboard::Look look, int frames) {
  Stage stage({width_px, height_px, scale, false, look, true});
  stage.show(made_session(Made::chatter, 0.05));
  std::vector<live::State> moments;
  for (int i = 0; i < 16; ++i) {
    moments.push_back(stage.state());
    moments.back().snapshot.spectrum_dbfs = made_state(Made::chatter, 60 + 0.025 * i).snapshot.spectrum_dbfs;
  }
  std::vector<double> screen_ms, empty_ms;
  for (int i = 0; i < frames; ++i) {
    stage.state() = moments[static_cast<std::size_t>(i) % moments.size()];
    dashboard::Input input;
    input.dt_s = 0.025;
    Clock::time_point start = Clock::now();
    stage.again(input);
    screen_ms.push_back(ms_since(start));
    start = Clock::now();
    ImGui::NewFrame();
    ImGui::Render();
    empty_ms.push_back(ms_since(start));
  }
  return {median(screen_ms), median(empty_ms)};
}

}  // namespace hushmill::test
