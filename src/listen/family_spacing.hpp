// The tooth frequency from chatter itself: a family's lines stand whole tooth spacings from one another.
//
// When a spindle sags under chatter by more than the comb grants, neither the teeth nor the family are found at their
// places any more. This looks for the spacing at which teeth and family are found again. Pure; allocates nothing.
#pragma once

#include <optional>
#include <span>

#include "listen/comb.hpp"
#include "signal/lines.hpp"

namespace hushmill::listen {

class FamilySpacing {
 public:
  /// Lines of the next long row, strongest first, heard while chatter near `chatter_hz` is open. The factor by which
  /// the comb has moved, when two looks in a row agree on a spacing that explains the lines far better.
  std::optional<double> process(std::span<const signal::Line> lines, double bin_hz, double chatter_hz,
                                const Comb& comb) noexcept;
  void reset() noexcept { last_ = 1; }

 private:
  double last_ = 1;
};

}  // namespace hushmill::listen
