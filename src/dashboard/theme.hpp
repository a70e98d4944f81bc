// The colours of the screen, dark and light, and the arithmetic of contrast.
//
// Green, yellow and red carry the meaning of IEC 60073 (normal, abnormal, danger) and never carry it alone: a shape and
// a word go with each. White (ink) is for advice. Every pair of text and ground that is drawn is listed by
// `text_pairs`, so that a test can hold it to 7:1.
#pragma once

#include <cstdint>
#include <vector>

#include "dashboard/tone.hpp"

namespace hushmill::dashboard {

/// sRGB, 0 to 255.
struct Rgb {
  std::uint8_t r = 0;
  std::uint8_t g = 0;
  std::uint8_t b = 0;
  friend constexpr bool operator==(const Rgb&, const Rgb&) = default;
};

/// `share` of b over a, 0 to 1.
Rgb mix(Rgb a, Rgb b, double share) noexcept;
/// Relative luminance 0 to 1. W3C, "Web Content Accessibility Guidelines 2.1", 2018, definition "relative luminance".
double luminance(Rgb colour) noexcept;
/// Contrast ratio 1 to 21. Same source, definition "contrast ratio".
double contrast(Rgb a, Rgb b) noexcept;

struct Theme {
  bool light = false;
  Rgb ground;  ///< behind the panels
  Rgb panel;
  Rgb well;                                     ///< behind curves and pictures
  Rgb ink;                                      ///< text, pointers, advice
  Rgb dim;                                      ///< lesser text
  Rgb line;                                     ///< grid lines and edges; carries no meaning
  Rgb mark;                                     ///< neutral marks: scale lines, knob steps
  Rgb teeth;                                    ///< marks of the tooth multiples
  Rgb room;                                     ///< marks and curve of the room
  Rgb normal, abnormal, danger;                 ///< fills
  Rgb normal_edge, abnormal_edge, danger_edge;  ///< outlines of those fills, 3:1 against the panel
  Rgb normal_text, abnormal_text, danger_text;  ///< the same meaning in words

  Rgb fill(Tone tone) const noexcept;
  Rgb edge(Tone tone) const noexcept;
  Rgb text(Tone tone) const noexcept;
  /// Ground of the verdict band.
  Rgb band(Tone tone) const noexcept;
  /// Level 0 to 1 of a picture: from the well to the brightest (dark) or darkest (light), ever in one direction.
  Rgb heat(double level) const noexcept;

  struct Pair {
    Rgb text;
    Rgb ground;
    const char* where = "";
  };
  /// Every combination in which text is drawn.
  std::vector<Pair> text_pairs() const;
  /// Every combination in which a mark that carries meaning is drawn.
  std::vector<Pair> mark_pairs() const;
};

Theme dark_theme() noexcept;
Theme light_theme() noexcept;

}  // namespace hushmill::dashboard
