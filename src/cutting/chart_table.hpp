// A stability chart as text for other programs: one line a speed, units in the names of the columns. Pure.
#pragma once

#include <string>

#include "cutting/stability_chart.hpp"

namespace hushmill::cutting {

/// "hopf" or "period_doubling".
const char* name_of(ChatterKind kind) noexcept;

/// Columns spindle_rpm, depth_limit_mm, searched_mm, chatter_hz, kind, tooth_passing_hz. Where no limit was found up to
/// searched_mm, depth_limit_mm, chatter_hz and kind are empty. Numbers are written alike in every locale.
std::string chart_csv(const StabilityChart& chart, int flutes);

}  // namespace hushmill::cutting
