// Makes text fit its box by measuring: first smaller, then on more lines, then shortened. Pure.
//
// Words may end in an ellipsis. A number never may (a shortened number is a wrong one), so numbers come with shorter
// spellings to choose from; see `fit_choice`.
#pragma once

#include <functional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace hushmill::dashboard {

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
  std::vector<std::string> lines;
  float size_px = 0;
  bool shortened = false;  ///< true when words were cut off; the last line then ends in an ellipsis
};

/// The largest size at which the text fits in at most `most_lines` lines; at the smallest size it is shortened.
Fitted fit_text(std::string_view text, const FitSettings& settings, const Measure& measure);

/// The first of `spellings` (best first) that fits one line at some size without being shortened, preferring an earlier
/// spelling at a smaller size. When none fits, the last one comes back with `shortened` set and empty lines: a number
/// that cannot be shown whole is not shown.
Fitted fit_choice(std::span<const std::string> spellings, const FitSettings& settings, const Measure& measure);

/// Lines no wider than `width_px`, broken at spaces; a single word that is too wide stands alone on its line.
std::vector<std::string> wrap(std::string_view text, float width_px, float size_px, const Measure& measure);

}  // namespace hushmill::dashboard
