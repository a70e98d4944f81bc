#include "app/inch_words.hpp"

#include <fmt/format.h>

#include <charconv>
#include <string_view>
#include <system_error>

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
  constexpr std::string_view kUnit = " mm";
  constexpr std::string_view kDigits = "0123456789";
  constexpr double kSmallIn = 0.02;
  const auto is_digit = [](char c) { return c >= '0' && c <= '9'; };
  // Where the digits begin that end before `end`.
  const auto digits_from = [&](std::size_t end) {
    const auto before = std::string_view(text).substr(0, end).find_last_not_of(kDigits);
    return before == std::string_view::npos ? 0 : before + 1;
  };
  std::string made;
  std::size_t told = 0;
  for (auto at = text.find(kUnit); at != std::string::npos; at = text.find(kUnit, at + 1)) {
    const std::size_t end = at + kUnit.size();
    const char next = end < text.size() ? text[end] : ' ';
    std::size_t from = digits_from(at);
    // "mm2", "mm^2" and "mmx" are no lengths.
    if (from == at || is_digit(next) || (next >= 'a' && next <= 'z') || (next >= 'A' && next <= 'Z') || next == '^') continue;
    if (from > 1 && text[from - 1] == '.' && is_digit(text[from - 2])) from = digits_from(from - 1);
    double mm = 0;
    if (std::from_chars(text.data() + from, text.data() + at, mm).ec != std::errc{}) continue;  // more digits than a number has
    const double inches = mm / kMmPerInch;
    made.append(text, told, from - told);
    made += fmt::format("{:.{}f} in", inches, inches < kSmallIn ? 4 : 3);
    told = end;
  }
  return made.append(text, told);
}

bool speaks_inches(std::string_view options) {
  for (const auto* option : {"--diameter-in ", "--radial-in ", "--depth-in ", "--feed-in-min ", "--surface-ft-min ", "--inches"})
    if (options.find(option) != std::string_view::npos) return true;
  return false;
}

}  // namespace hushmill::app
