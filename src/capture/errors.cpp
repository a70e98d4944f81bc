#include "capture/errors.hpp"

namespace hushmill::capture {

namespace {

/// Bytes of what begins here and would steer a terminal or hide what stands there; 0 when it is text. In UTF-8: the control characters of
/// ISO/IEC 6429, line separators, and the marks that turn the direction of writing (Unicode Standard Annex #9, section 2).
std::size_t steering(std::string_view text) {
  const auto byte = [text](std::size_t i) { return i < text.size() ? static_cast<unsigned char>(text[i]) : 0U; };
  if (byte(0) < 0x20 || byte(0) == 0x7f) return 1;
  if (byte(0) == 0xC2 && byte(1) >= 0x80 && byte(1) <= 0x9F) return 2;
  if (byte(0) == 0xD8 && byte(1) == 0x9C) return 2;
  if (byte(0) != 0xE2) return 0;
  const bool general = byte(1) == 0x80 && (byte(2) == 0x8E || byte(2) == 0x8F || (byte(2) >= 0xA8 && byte(2) <= 0xAE));
  const bool isolates = byte(1) == 0x81 && byte(2) >= 0xA6 && byte(2) <= 0xA9;
  return general || isolates ? 3 : 0;
}

}  // namespace

std::string plain_line(std::string_view text) {
  std::string line;
  while (!text.empty()) {
    const std::size_t bytes = steering(text);
    line += bytes > 0 ? '?' : text.front();
    text.remove_prefix(bytes > 0 ? bytes : 1);
  }
  return line;
}

std::string in_quotes(std::string_view name) {
  constexpr std::size_t kLongest = 300;
  std::string text = "'";
  if (name.size() > kLongest) {
    text += "...";
    name.remove_prefix(name.size() - kLongest);  // the end of a path says more than its beginning
  }
  return text + plain_line(name) + "'";
}

}  // namespace hushmill::capture
