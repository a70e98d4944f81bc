// The tooth frequency from chatter, where the comb of the teeth is not found: all that is loud stands on a·f_c + b·f_tooth.
//
// Strong chatter drowns the teeth and a spindle sags under it, so comb and family are lost in the same tenth of a second, and
// what sings would become the background. But its lines, those of twice and three times the tone included, stand whole tooth
// spacings from one another and from the teeth, and no other sound in a shop does that at the spacing that was entered. This looks
// for the spacing, near the expected one, at which nearly all is explained; harmonics of the tone fit every spacing and say nothing,
// and a place at a third, a quarter or a fifth of the spacing, where every harmonic series fits, is not taken. Delay: three rows
// of the long window. Allocates nothing.
#pragma once

#include <optional>
#include <span>

#include "listen/comb.hpp"
#include "signal/lines.hpp"

namespace hushmill::listen {

class ChatterLattice {
 public:
  /// Lines of the next long row over floor and room, strongest first. The factor by which the true spacing differs from the
  /// comb's, once three looks in a row agree on one that explains the lines far better than the comb does.
  std::optional<double> process(std::span<const signal::Line> lines, double bin_hz, const Comb& comb) noexcept;
  /// The spacing of the comb itself explained the lines of the last look.
  bool explains() const noexcept { return explains_; }
  void forget() noexcept {
    agreeing_ = 0;
    explains_ = false;
  }

 private:
  std::optional<double> look(std::span<const signal::Line> lines, double bin_hz, const Comb& comb) noexcept;

  double last_ = 1;
  int agreeing_ = 0;
  bool explains_ = false;
};

}  // namespace hushmill::listen
