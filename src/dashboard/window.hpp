// The window on the screen: GLFW, OpenGL 3 and Dear ImGui's renderer live behind this door and nowhere else.
// Collects what the person does, draws what the draw list holds, reads the picture back. [main thread]
#pragma once

#include <cstdint>
#include <functional>
#include <memory>
#include <stdexcept>
#include <string>
#include <vector>

#include "dashboard/canvas.hpp"
#include "dashboard/history_view.hpp"
#include "dashboard/typography.hpp"
#include "dashboard/view_state.hpp"

namespace hushmill::dashboard {

/// No display, or none that can draw: the caller falls back to the terminal.
class NoDisplay : public std::runtime_error {
 public:
  using std::runtime_error::runtime_error;
};

struct WindowSettings {
  std::string title = "Hushmill";
  int width = 1280;  ///< screen coordinates
  int height = 720;
};

/// In screen coordinates.
struct WindowSize {
  int width = 0;
  int height = 0;
};

struct Pixels {
  int width = 0;
  int height = 0;
  std::vector<std::uint8_t> rgba;  ///< top row first
};

class Window {
 public:
  /// Throws NoDisplay when no window can be opened.
  explicit Window(const WindowSettings& settings);
  ~Window();
  Window(const Window&) = delete;
  Window& operator=(const Window&) = delete;

  bool close_wanted() const;
  /// Waits at most so long for the person to do something, then hands over what was done since the last call.
  Input take_input(double most_s);
  /// Framebuffer size in pixels.
  int width_px() const;
  int height_px() const;
  /// Outer size, and while the screen is filled that of before.
  WindowSize size() const;
  /// What the system says of this screen's density; 1 is the common one.
  float scale() const;
  void set_full_screen(bool full);

  /// Bakes the fonts for a unit; the one before is gone afterwards.
  const Typography& set_fonts(const FontFiles& files, float unit_px, float capital_px);
  /// Paints the given columns of the history, in the theme's colours.
  void paint_history(const History& history, std::span<const int> columns, const Theme& theme);
  std::uintptr_t history_texture() const;

  /// One frame: `draw` fills the list, then it goes to the screen. With `keep` the picture is read back, too.
  void draw(const Theme& theme, double dt_s, const std::function<void(ImDrawList&)>& draw, Pixels* keep = nullptr);

 private:
  Pixels read_pixels() const;

  struct Parts;
  std::unique_ptr<Parts> parts_;
};

}  // namespace hushmill::dashboard
