#include "app/inch_words.hpp"

#include <fmt/format.h>

namespace hushmill::app {

std::string feed_words(double feed_mm_min, bool inches) {
  if (inches) return fmt::format("F{:.2f} in/min", feed_mm_min / kMmPerInch);
  return feed_mm_min < 100 ? fmt::format("F{:.1f} mm/min", feed_mm_min) : fmt::format("F{:.0f} mm/min", feed_mm_min);
}

std::string length_words(double mm, bool inches) { return inches ? fmt::format("{:.4g} in", mm / kMmPerInch) : fmt::format("{:.4g} mm", mm); }

std::string surface_words(double m_min, bool inches) {
  return inches ? fmt::format("{:.0f} ft/min", m_min / kMetresPerFoot) : fmt::format("{:.0f} m/min", m_min);
}

bool speaks_inches(std::string_view options) {
  for (const auto* option : {"--diameter-in ", "--radial-in ", "--depth-in ", "--feed-in-min ", "--surface-ft-min ", "--inches"})
    if (options.find(option) != std::string_view::npos) return true;
  return false;
}

}  // namespace hushmill::app
