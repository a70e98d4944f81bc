// What the person entered about the cut: one plain value, edited on the screen or by options.
#pragma once

#include <algorithm>
#include <array>
#include <optional>

#include "advise/advice.hpp"

namespace hushmill::live {

/// A mode that was tapped, as far as the card carries it.
struct CardTap {
  double natural_hz = 0;
  double damping_ratio = 0;
  bool of_part = false;     ///< of the part in its hold; else of the tool …
  bool of_machine = false;  ///< … or of the machine
  bool operator==(const CardTap&) const = default;
};

/// Limits that are not given do not apply. The speed at the spindle is programmed_rpm · override_percent / 100.
struct CutCard {
  double programmed_rpm = 6000;    ///< the S word
  double override_percent = 100;   ///< the knob
  int flutes = 4;
  std::optional<double> diameter_mm;
  std::optional<double> radial_mm;
  std::optional<double> depth_mm;
  std::optional<advise::Milling> milling;
  std::optional<double> feed_mm_min;  ///< the F word, at the programmed speed
  std::optional<double> min_rpm;
  std::optional<double> max_rpm;
  std::optional<double> tool_max_rpm;
  double knob_step_percent = 10;  ///< common practice, no published source
  std::optional<double> knob_min_percent{}, knob_max_percent{};  ///< reach of the knob; the adviser's default when not given
  std::optional<double> damping_ratio;
  int pitch_pattern_teeth = 1;  ///< after how many teeth the pitch repeats itself: 1 when all are equal
  bool unequal_pitch = false;
  std::array<CardTap, 8> taps{};  ///< kept by the tap test; a plain array, since cards cross threads without allocating
  int tap_count = 0;

  /// How often the cutter looks the same in a revolution.
  int comb_flutes() const noexcept { return flutes % pitch_pattern_teeth == 0 ? flutes / pitch_pattern_teeth : flutes; }
  double entered_rpm() const noexcept { return programmed_rpm * override_percent / 100.0; }
};

inline bool same_taps(const CutCard& a, const CutCard& b) {
  return std::equal(a.taps.begin(), a.taps.begin() + a.tap_count, b.taps.begin(), b.taps.begin() + b.tap_count);
}

}  // namespace hushmill::live
