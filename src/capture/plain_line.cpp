#include "capture/plain_line.hpp"

#include <algorithm>
#include <cstddef>

namespace hushmill::capture {
namespace {

/// Bytes of the UTF-8 sequence that begins here; 0 where none does. A terminal may take a stray byte for a control character.
std::size_t sequence_at(std::string_view text) {
  const auto first = static_cast<unsigned char>(text.front());
  const std::size_t bytes = first < 0x80 ? 1 : first < 0xC2 ? 0 : first < 0xE0 ? 2 : first < 0xF0 ? 3 : first < 0xF5 ? 4 : 0;
  if (bytes > text.size()) return 0;
  for (const char c : text.substr(0, bytes).substr(bytes > 0 ? 1 : 0))
    if ((static_cast<unsigned char>(c) & 0xC0U) != 0x80) return 0;
  return bytes;
}

/// Would steer a terminal or hide what stands there: control characters (ISO/IEC 6429), line separators, and marks that turn the
/// direction of writing (Unicode Standard Annex #9, section 2).
bool steers(std::string_view sequence) {
  const auto byte = [sequence](std::size_t i) { return static_cast<unsigned char>(sequence[i]); };
  if (sequence.size() == 1) return byte(0) < 0x20 || byte(0) == 0x7f;
  if (sequence.size() == 2) return (byte(0) == 0xC2 && byte(1) <= 0x9F) || sequence == "\xD8\x9C";
  if (byte(0) != 0xE2) return false;
  if (byte(1) == 0x80) return byte(2) == 0x8E || byte(2) == 0x8F || (byte(2) >= 0xA8 && byte(2) <= 0xAE);
  return byte(1) == 0x81 && byte(2) >= 0xA6 && byte(2) <= 0xA9;
}

}  // namespace

std::string plain_line(std::string_view text) {
  std::string line;
  while (!text.empty()) {
    const auto sequence = text.substr(0, sequence_at(text));
    if (sequence.empty() || steers(sequence))
      line += '?';
    else
      line += sequence;
    text.remove_prefix(std::max<std::size_t>(1, sequence.size()));
  }
  return line;
}

std::string plain_lines(std::string_view text) {
  std::string lines;
  for (;;) {
    const std::size_t end = std::min(text.find('\n'), text.size());
    lines += plain_line(text.substr(0, end));
    if (end == text.size()) return lines;
    lines += '\n';
    text.remove_prefix(end + 1);
  }
}

}  // namespace hushmill::capture
