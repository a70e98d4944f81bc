#include "text/outside_text.hpp"

#include <cstddef>

namespace hushmill::text {
namespace {

struct Lead {
  unsigned char from, to;
  std::size_t bytes;
  unsigned char second_from, second_to;
};
// Table 3-7 of The Unicode Standard: well-formed byte sequences.
constexpr Lead kLeads[] = {{0x00, 0x7F, 1, 0, 0},       {0xC2, 0xDF, 2, 0x80, 0xBF}, {0xE0, 0xE0, 3, 0xA0, 0xBF},
                           {0xE1, 0xEC, 3, 0x80, 0xBF}, {0xED, 0xED, 3, 0x80, 0x9F}, {0xEE, 0xEF, 3, 0x80, 0xBF},
                           {0xF0, 0xF0, 4, 0x90, 0xBF}, {0xF1, 0xF3, 4, 0x80, 0xBF}, {0xF4, 0xF4, 4, 0x80, 0x8F}};

unsigned char byte(std::string_view text, std::size_t i) { return static_cast<unsigned char>(text[i]); }

/// Bytes of the sequence that begins here; 0 where none does.
std::size_t sequence(std::string_view text) {
  for (const Lead& lead : kLeads) {
    if (byte(text, 0) < lead.from || byte(text, 0) > lead.to) continue;
    if (lead.bytes == 1) return 1;
    if (text.size() < lead.bytes || byte(text, 1) < lead.second_from || byte(text, 1) > lead.second_to) return 0;
    for (std::size_t i = 2; i < lead.bytes; ++i)
      if (byte(text, i) < 0x80 || byte(text, i) > 0xBF) return 0;
    return lead.bytes;
  }
  return 0;
}

/// ISO/IEC 6429: of ASCII, delete, and U+0080 to U+009F.
bool is_control(std::string_view one) {
  if (one.size() == 1) return byte(one, 0) < 0x20 || byte(one, 0) == 0x7F;
  return one.size() == 2 && byte(one, 0) == 0xC2 && byte(one, 1) <= 0x9F;
}

/// U+061C, U+200E, U+200F, U+2028 to U+202E, U+2066 to U+2069 (Unicode Standard Annex #9, section 2; line and paragraph separator).
bool hides_order(std::string_view one) {
  if (one == "\xD8\x9C") return true;
  if (one.size() != 3 || byte(one, 0) != 0xE2) return false;
  const auto last = byte(one, 2);
  if (byte(one, 1) == 0x80) return last == 0x8E || last == 0x8F || (last >= 0xA8 && last <= 0xAE);
  return byte(one, 1) == 0x81 && last >= 0xA6 && last <= 0xA9;
}

/// The text with what is not fit replaced.
std::string made_fit(std::string_view text, bool breaks_stay, std::string_view for_control, std::string_view for_other) {
  std::string fit;
  while (!text.empty()) {
    const std::size_t bytes = sequence(text);
    const auto one = text.substr(0, bytes);
    if (bytes == 0 || hides_order(one))
      fit += for_other;
    else if (is_control(one) && !(breaks_stay && one == "\n"))
      fit += for_control;
    else
      fit += one;
    text.remove_prefix(bytes > 0 ? bytes : 1);
  }
  return fit;
}

}  // namespace

std::string plain_line(std::string_view text) { return made_fit(text, false, "?", "?"); }
std::string plain_lines(std::string_view text) { return made_fit(text, true, "?", "?"); }
std::string clean_lines(std::string_view text) { return made_fit(text, true, " ", "\xEF\xBF\xBD"); }

}  // namespace hushmill::text
