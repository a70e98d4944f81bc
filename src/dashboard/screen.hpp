// One frame of the whole screen: prepare every view from the state, draw it, and turn what the person did into
// commands. Needs a draw list and fonts, but no window and no graphics device, so tests run all of it.
#pragma once

#include <cstdint>
#include <vector>

#include "dashboard/canvas.hpp"
#include "dashboard/history_view.hpp"
#include "dashboard/layout.hpp"
#include "dashboard/session.hpp"
#include "dashboard/view_state.hpp"
#include "live/command.hpp"
#include "live/state.hpp"

namespace hushmill::dashboard {

/// What the screen draws from, gathered by whoever polls the instrument.
struct Scene {
  const live::State& state;
  const Session& session;
  const History& history;
  std::uintptr_t history_texture = 0;  ///< 0: no picture
  const Session* whole = nullptr;      ///< for the strip, when it is not `session`
};

/// Draws one frame. Panels and marks go into the canvas's report.
void draw_screen(Canvas& canvas, const Layout& layout, const Scene& scene, ViewState& view, const Input& input);

/// Turns keys, typing and clicks into commands and changes of the view. Call once a frame, before `draw_screen`.
void take_input(const Canvas& canvas, const Layout& layout, const Scene& scene, ViewState& view, const Input& input,
                std::vector<live::Command>& commands);

/// All of the window, from the layout's own margins.
Rect window_of(const Layout& layout) noexcept;

/// The frequency stretch that the spectrum shows.
Axis shown_hz(const ViewState& view, const listen::Snapshot& snapshot);

}  // namespace hushmill::dashboard
