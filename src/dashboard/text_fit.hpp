// Makes text fit its box by measuring: first smaller, then on more lines, then shortened. Pure.
//
// Words may end in an ellipsis. A number never may (a shortened number is a wrong one), so numbers come with shorter
// spellings to choose from; see `fit_choice`.
#pragma once

#include <algorithm>
#include <cstddef>
#include <functional>
#include <span>
#include <string_view>

#include "dashboard/words.hpp"

namespace hushmill::dashboard {

/// Lines in a text with '\n' between them; 0 for an empty one.
inline std::size_t line_count(std::string_view text) noexcept {
  return text.empty() ? 0 : 1 + static_cast<std::size_t>(std::count(text.begin(), text.end(), '\n'));
}

/// Calls `take(line)` for each of them.
template <class Take>
void each_line(std::string_view text, Take take) {
  while (!text.empty()) {
    const auto end = std::min(text.find('\n'), text.size());
    take(text.substr(0, end));
    text.remove_prefix(std::min(text.size(), end + 1));
  }
}

/// Width in pixels of one line of text at a size in pixels.
using Measure = std::function<float(std::string_view text, float size_px)>;

struct FitSettings {
  float width_px = 0;
  float height_px = 0;
  std::span<const float> sizes_px;  ///< to try, largest first; at least one
  int most_lines = 1;
  float line_height = 1.28F;  ///< from line to line, of the size; the last line needs one size
};

struct Fitted {
  Words text;  ///< its lines, with '\n' between them; empty when nothing is to be shown
  float size_px = 0;
  bool shortened = false;  ///< true when words were cut off; the last line then ends in an ellipsis

  std::size_t count() const noexcept { return line_count(text); }
  /// The line of that number, from 0; empty past the last.
  std::string_view line(std::size_t number) const noexcept;
};

/// The largest size at which the text fits in at most `most_lines` lines; at the smallest size it is shortened.
Fitted fit_text(std::string_view text, const FitSettings& settings, const Measure& measure);

/// The first of `spellings` (best first) that fits one line at some size without being shortened, preferring an earlier
/// spelling at a smaller size. When none fits, the answer is `shortened` and empty: a number that cannot be shown whole
/// is not shown.
Fitted fit_choice(std::span<const Words> spellings, const FitSettings& settings, const Measure& measure);

/// The text in lines no wider than `width_px`, broken at spaces; a single word that is too wide stands alone on its line.
Words wrap(std::string_view text, float width_px, float size_px, const Measure& measure);

}  // namespace hushmill::dashboard
