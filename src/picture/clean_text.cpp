#include "picture/clean_text.hpp"

namespace hushmill::picture {
namespace {

struct Lead {
  unsigned char from, to;
  std::size_t bytes;
  unsigned char second_from, second_to;
};
// Table 3-7 of The Unicode Standard: well-formed byte sequences.
constexpr Lead kLeads[] = {{0xC2, 0xDF, 2, 0x80, 0xBF}, {0xE0, 0xE0, 3, 0xA0, 0xBF}, {0xE1, 0xEC, 3, 0x80, 0xBF},
                           {0xED, 0xED, 3, 0x80, 0x9F}, {0xEE, 0xEF, 3, 0x80, 0xBF}, {0xF0, 0xF0, 4, 0x90, 0xBF},
                           {0xF1, 0xF3, 4, 0x80, 0xBF}, {0xF4, 0xF4, 4, 0x80, 0x8F}};

/// Bytes of the sequence that begins here; 0 when none does.
std::size_t sequence(std::string_view text) {
  const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(text[i]); };
  for (const Lead& lead : kLeads) {
    if (byte(0) < lead.from || byte(0) > lead.to) continue;
    if (text.size() < lead.bytes || byte(1) < lead.second_from || byte(1) > lead.second_to) return 0;
    for (std::size_t i = 2; i < lead.bytes; ++i) {
      if (byte(i) < 0x80 || byte(i) > 0xBF) return 0;
    }
    return lead.bytes;
  }
  return 0;
}

/// Control characters beyond ASCII (ISO/IEC 6429, in Unicode U+0080 to U+009F).
bool is_control(std::string_view sequence) {
  return sequence[0] == '\xC2' && static_cast<unsigned char>(sequence[1]) <= 0x9F;
}

/// U+061C, U+200E, U+200F, U+2028 to U+202E, U+2066 to U+2069 (Unicode Standard Annex #9, section 2; line and paragraph separator).
bool hides_order(std::string_view sequence) {
  if (sequence == "\xD8\x9C") return true;
  if (!sequence.starts_with("\xE2\x80") && !sequence.starts_with("\xE2\x81")) return false;
  const auto last = static_cast<unsigned char>(sequence[2]);
  return sequence[1] == '\x80' ? last == 0x8E || last == 0x8F || (last >= 0xA8 && last <= 0xAE) : last >= 0xA6 && last <= 0xA9;
}

}  // namespace

std::string clean_text(std::string_view text) {
  std::string clean;
  while (!text.empty()) {
    const auto first = static_cast<unsigned char>(text.front());
    std::size_t taken = 1;
    if (first < 0x80) {
      clean += (first < 0x20 && first != '\n') || first == 0x7F ? ' ' : text.front();
    } else if (const std::size_t bytes = sequence(text); bytes > 0) {
      const std::string_view whole = text.substr(0, bytes);
      clean.append(is_control(whole) ? " " : hides_order(whole) ? "\xEF\xBF\xBD" : whole);
      taken = bytes;
    } else {
      clean += "\xEF\xBF\xBD";
    }
    text.remove_prefix(taken);
  }
  return clean;
}

}  // namespace hushmill::picture
