// Lengths and feeds in the unit that the person chose, always with the unit. Values are kept in millimetres. Pure.
#pragma once

#include <string>
#include <string_view>

#include "cutting/speeds.hpp"

namespace hushmill::app {

/// The international foot, exact (ISO 80000-3, 2019, and NIST Special Publication 811, 2008, appendix B.8).
inline constexpr double kMetresPerFoot = 0.3048;
using cutting::kMmPerInch;

/// "F1632 mm/min", "F64.25 in/min".
std::string feed_words(double feed_mm_min, bool inches);
/// "12 mm", "0.4724 in".
std::string length_words(double mm, bool inches);
/// "120 m/min", "394 ft/min".
std::string surface_words(double m_min, bool inches);
/// Lengths and feeds within a sentence that was made in millimetres, in inches: "take 2.41 mm" becomes "take 0.095 in".
std::string in_inches(const std::string& text);
/// Whether options as they were typed ("--rpm 6000 --feed-in-min 64") speak in inches.
bool speaks_inches(std::string_view options);

}  // namespace hushmill::app
