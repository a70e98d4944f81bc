// The controls of a lesson, held in their ranges and on their steps. A plain helper; no failure.
#pragma once

#include <cmath>
#include <cstddef>
#include <vector>

#include "lessons/scene.hpp"

namespace hushmill::lessons {

class Controls {
 public:
  explicit Controls(std::vector<Control> all) : all_(std::move(all)) {}

  /// False when there is no such control, or the value is no number.
  bool set(std::size_t control, double value) noexcept;
  double operator[](std::size_t control) const noexcept { return all_[control].value; }
  std::size_t choice(std::size_t control) const noexcept { return static_cast<std::size_t>(std::llround(all_[control].value)); }
  const std::vector<Control>& all() const noexcept { return all_; }

 private:
  std::vector<Control> all_;
};

/// A number for a sentence, with so many decimals.
std::string shown(double value, int decimals = 0);

}  // namespace hushmill::lessons
