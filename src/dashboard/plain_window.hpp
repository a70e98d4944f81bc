// A window with one screen of its own, beside the dashboard: lessons, taps. Runs its frames until it is left. [main
// thread]
//
// Throws as the dashboard does.
#pragma once

#include <functional>

#include "dashboard/dashboard.hpp"
#include "dashboard/view_state.hpp"

namespace hushmill::dashboard {

/// What a screen does with each frame.
struct PlainScreen {
  /// Before anything else: takes what is new. True when there was something.
  std::function<bool()> poll;
  /// The unit that the fonts are baked for.
  std::function<float(float width_px, float height_px, float scale)> unit;
  std::function<void(Canvas& canvas, float width_px, float height_px, float scale, const Input& input)> frame;
  std::function<bool()> light, full_screen, leave;
};

int run_plain_window(const DashboardSettings& settings, const PlainScreen& screen);

}  // namespace hushmill::dashboard
