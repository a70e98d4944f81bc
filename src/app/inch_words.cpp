#include "app/inch_words.hpp"

#include <fmt/format.h>

#include <regex>

namespace hushmill::app {

std::string feed_words(double feed_mm_min, bool inches) {
  if (inches) return fmt::format("F{:.2f} in/min", feed_mm_min / kMmPerInch);
  return feed_mm_min < 100 ? fmt::format("F{:.1f} mm/min", feed_mm_min) : fmt::format("F{:.0f} mm/min", feed_mm_min);
}

std::string length_words(double mm, bool inches) { return inches ? fmt::format("{:.4g} in", mm / kMmPerInch) : fmt::format("{:.4g} mm", mm); }

std::string surface_words(double m_min, bool inches) {
  return inches ? fmt::format("{:.0f} ft/min", m_min / kMetresPerFoot) : fmt::format("{:.0f} m/min", m_min);
}

std::string in_inches(const std::string& text) {
  static const std::regex kLength("([0-9]+(?:[.][0-9]+)?) mm(?![A-Za-z0-9^])");
  constexpr double kSmallIn = 0.02;
  std::string made;
  auto from = text.begin();
  for (std::sregex_iterator one(text.begin(), text.end(), kLength), end; one != end; ++one) {
    made.append(from, text.begin() + one->position());
    const double inches = std::stod((*one)[1].str()) / kMmPerInch;
    made += fmt::format("{:.{}f} in", inches, inches < kSmallIn ? 4 : 3);
    from = text.begin() + one->position() + one->length();
  }
  return made.append(from, text.end());
}

bool speaks_inches(std::string_view options) {
  for (const auto* option : {"--diameter-in ", "--radial-in ", "--depth-in ", "--feed-in-min ", "--surface-ft-min ", "--inches"})
    if (options.find(option) != std::string_view::npos) return true;
  return false;
}

}  // namespace hushmill::app
