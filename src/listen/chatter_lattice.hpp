// The tooth frequency from chatter, where the comb of the teeth is not found: all that is loud stands on a·f_c + b·f_tooth.
//
// Strong chatter drowns the teeth and a spindle sags under it, so comb and family are lost in the same tenth of a second, and
// what sings would become the background. But its lines, those of twice and three times the tone included, stand whole tooth
// spacings from one another and from the teeth, and no other sound in a shop does that at the spacing that was entered. This looks
// for the spacing, near the expected one, at which nearly all is explained; harmonics of the tone fit every spacing and say nothing,
// and a place at a third, a quarter or a fifth of the spacing, where every harmonic series fits, is not taken. Delay: a few rows
// of the long window. Allocates nothing.
#pragma once

#include <optional>
#include <span>

#include "listen/comb.hpp"
#include "signal/lines.hpp"

namespace hushmill::listen {

/// What a lattice must show.
struct LatticeTerms {
  int multiples;         ///< of the tone that are looked for beside the teeth
  double from_db;        ///< a line counts from here on, over floor and room, …
  double full_db;        ///< … and fully from here on
  double least;          ///< full lines beyond chance that must be explained, …
  double margin;         ///< … so many more than by anything else …
  double series_margin;  ///< … and than by one series of harmonics
  int looks;             ///< long rows in a row
};
/// In a cut: chatter that has filled the sound has many multiples, and what is loud must be explained.
inline constexpr LatticeTerms kLatticeInCut{7, 8, 20, 4.0, 3.0, 1.5, 3};
/// Where no cut is heard the teeth are faint, and so is all but the strongest line of the chatter: few lines, asked for longer.
inline constexpr LatticeTerms kLatticeUnheardCut{1, 7, 12, 1.9, 1.2, 1.0, 5};

class ChatterLattice {
 public:
  /// Lines of the next long row over floor and room, strongest first. The factor by which the true spacing differs from the
  /// comb's, once enough looks in a row agree on one that explains the lines far better than the comb does.
  std::optional<double> process(std::span<const signal::Line> lines, double bin_hz, const Comb& comb, const LatticeTerms& terms) noexcept;
  /// Looks in a row, up to the last, in which the spacing of the comb itself explained the lines.
  int explained() const noexcept { return explained_; }
  void forget() noexcept {
    agreeing_ = 0;
    explained_ = 0;
  }

 private:
  std::optional<double> look(std::span<const signal::Line> lines, double bin_hz, const Comb& comb, const LatticeTerms& terms) noexcept;

  double last_ = 1;
  int agreeing_ = 0;
  int explained_ = 0;
};

}  // namespace hushmill::listen
