#include "dashboard/plain_window.hpp"

#include <algorithm>
#include <chrono>
#include <cmath>

#include "dashboard/png_file.hpp"
#include "dashboard/report_file.hpp"

namespace hushmill::dashboard {
namespace {

using Clock = std::chrono::steady_clock;

constexpr double kFrameS = 1.0 / 40;
constexpr double kReportS = 0.25;

double since(Clock::time_point from) { return std::chrono::duration<double>(Clock::now() - from).count(); }

}  // namespace

int run_plain_window(const DashboardSettings& settings, const PlainScreen& screen) {
  const FontFiles fonts = find_fonts(usual_font_folders());
  Window window({settings.title, settings.width, settings.height});
  const Typography* typography = nullptr;
  float baked_for = 0;
  bool full = false, shot = false;
  Report report;
  const auto started = Clock::now();
  auto last_frame = started, last_report = started;
  while (!window.close_wanted() && !screen.leave() && !(settings.end_asked && settings.end_asked())) {
    const bool picture_due = settings.screenshot_after_s && !shot;
    if (!picture_due && settings.close_after_s && since(started) >= *settings.close_after_s) break;
    Input input = window.take_input(std::max(0.001, kFrameS - since(last_frame)));
    screen.poll();
    if (since(last_frame) < 0.9 * kFrameS && input.keys.empty() && !input.clicked) continue;
    input.dt_s = since(last_frame);
    last_frame = Clock::now();
    if (screen.full_screen() != full) window.set_full_screen(full = !full);
    const auto width = static_cast<float>(window.width_px()), height = static_cast<float>(window.height_px());
    const float scale = settings.scale > 0 ? static_cast<float>(settings.scale) : window.scale();
    // In coarse steps, so that fonts are not baked anew for every pixel of a window being dragged larger.
    const float unit = std::max(0.5F, std::floor(screen.unit(width, height, scale) * 16) / 16);
    if (unit != baked_for) typography = &window.set_fonts(fonts, baked_for = unit, std::ceil(height / 10));
    const Theme theme = screen.light() ? light_theme() : dark_theme();
    const bool shoot = picture_due && since(started) >= *settings.screenshot_after_s;
    Pixels pixels;
    report = {};
    window.draw(
        theme, input.dt_s,
        [&](ImDrawList& list) {
          Canvas canvas(list, *typography, theme, settings.drawn_text_file.empty() ? nullptr : &report);
          screen.frame(canvas, width, height, scale, input);
        },
        shoot ? &pixels : nullptr);
    if (!picture_due && !settings.drawn_text_file.empty() && !shot && since(last_report) >= kReportS) {
      last_report = Clock::now();
      write_report(settings.drawn_text_file, report, window.width_px(), window.height_px());
    }
    if (!shoot) continue;
    shot = true;
    if (!settings.screenshot_file.empty())
      write_png(settings.screenshot_file, pixels.width, pixels.height, pixels.rgba);
    if (!settings.drawn_text_file.empty()) write_report(settings.drawn_text_file, report, pixels.width, pixels.height);
  }
  if (!settings.drawn_text_file.empty() && !shot)
    write_report(settings.drawn_text_file, report, window.width_px(), window.height_px());
  return 0;
}

}  // namespace hushmill::dashboard
