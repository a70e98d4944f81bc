// Writes what was drawn as text: one string or mark a line, so that tests and people can compare it with what the
// engine says. The form is fixed: kind, panel, x, y, width, height, size, whole or shortened, and the words, apart by
// tabs.
#pragma once

#include <string>

#include "dashboard/canvas.hpp"

namespace hushmill::dashboard {

std::string report_text(const Report& report, int width_px, int height_px);
/// Throws std::runtime_error naming the file when it cannot be written.
void write_report(const std::string& file, const Report& report, int width_px, int height_px);

}  // namespace hushmill::dashboard
