// The fields that a cut card shares with its row in the journal and with a cut in a file, copied one way or the other.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "advise/advice.hpp"

namespace hushmill::live {

inline std::string milling_word(const std::optional<advise::Milling>& milling) { return milling ? std::string(advise::word(*milling)) : std::string(); }
inline std::optional<advise::Milling> milling_word(std::string_view word) {
  for (const auto milling : {advise::Milling::climb, advise::Milling::conventional})
    if (word == advise::word(milling)) return milling;
  return std::nullopt;
}

/// All but the knob's step, which a card always has and a row or a file may leave open.
template <class From, class To>
void copy_cut(const From& from, To& to) {
  to.programmed_rpm = from.programmed_rpm;
  to.override_percent = from.override_percent;
  to.flutes = static_cast<decltype(to.flutes)>(from.flutes);
  to.diameter_mm = from.diameter_mm;
  to.radial_mm = from.radial_mm;
  to.depth_mm = from.depth_mm;
  to.milling = milling_word(from.milling);
  to.feed_mm_min = from.feed_mm_min;
  to.min_rpm = from.min_rpm;
  to.max_rpm = from.max_rpm;
  to.tool_max_rpm = from.tool_max_rpm;
  to.damping_ratio = from.damping_ratio;
}

}  // namespace hushmill::live
