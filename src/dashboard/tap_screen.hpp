// One frame of the tap test: cautions and steps, live sound with its taps, modes with their spread, pockets for the
// flutes. Needs no window, so tests run all of it.
#pragma once

#include <vector>

#include "dashboard/canvas.hpp"
#include "dashboard/dashboard.hpp"
#include "dashboard/view_state.hpp"
#include "live/tap_state.hpp"

namespace hushmill::dashboard {

struct TapsLook {
  bool light = false, full_screen = false, leave_wanted = false;
};

/// Units in pixels for a window.
float tap_unit(float width_px, float height_px, float scale) noexcept;
void draw_taps(Canvas& canvas, float width_px, float height_px, const live::TapState& state);
void take_taps_input(const live::TapState& state, TapsLook& look, const Input& input,
                     std::vector<live::TapCommand>& commands);

/// How the screen reaches the running tap test.
struct TapsDoor {
  std::function<bool(live::TapState&)> poll;
  std::function<bool(const live::TapCommand&)> send;
};
/// In a window until the person leaves. Throws as the dashboard does. [main thread]
int run_taps(const DashboardSettings& settings, const TapsDoor& door);

}  // namespace hushmill::dashboard
