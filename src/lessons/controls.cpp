#include "lessons/controls.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <string>

namespace hushmill::lessons {

bool Controls::set(std::size_t control, double value) noexcept {
  if (control >= all_.size() || !std::isfinite(value)) return false;
  Control& one = all_[control];
  const double steps = std::round((std::clamp(value, one.from, one.to) - one.from) / one.step);
  one.value = std::min(one.to, one.from + steps * one.step);
  return true;
}

std::string shown(double value, int decimals) {
  char text[48];
  const double unit = std::pow(10.0, -decimals);
  const bool nothing = !std::isfinite(value) || std::abs(value) < 0.5 * unit;  // and no minus before it
  std::snprintf(text, sizeof text, "%.*f", decimals, nothing ? 0.0 : value);
  return text;
}

}  // namespace hushmill::lessons
