#include "cutting/engagement.hpp"

#include <algorithm>
#include <cmath>

#include "cutting/mode.hpp"

namespace hushmill::cutting {

Arc arc_of_width(double width_rad, Milling milling) noexcept {
  const double width = std::clamp(width_rad, 0.0, kPi);
  return milling == Milling::conventional ? Arc{0.0, width} : Arc{kPi - width, kPi};
}

Arc engaged_arc(double radial_fraction, Milling milling) noexcept {
  return arc_of_width(std::acos(1.0 - 2.0 * std::clamp(radial_fraction, 0.0, 1.0)), milling);
}

}  // namespace hushmill::cutting
