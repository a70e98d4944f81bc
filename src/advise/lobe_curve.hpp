// Where one guessed cut can chatter: for every frequency the tooth phase it needs and the depth at which it starts.
//
// At tooth period T the limit is the lowest depth among the frequencies whose phase fits f T up to whole waves. Zero-order theory; misses period doubling at low engagement. Any thread.
#pragma once

#include <array>
#include <vector>

#include "advise/flexible_cut.hpp"

namespace hushmill::advise {

/// A place on the curve: chatter frequency over the first mode's, depth limit there, and slope of phase over ln ratio.
struct Crossing {
  double ratio = 0;
  double depth = 0;
  double phase_slope = 0;
  int branch = 0;
};

class LobeCurve {
 public:
  /// Samples both eigenvalue branches of the cut at a speed `slowness` times slower than the anchored one.
  void sample(const FlexibleCut& cut, double slowness);

  /// All places with this tooth phase (fraction of a wave, 0 to 1), lowest depth first.
  std::vector<Crossing> at_phase(double phase) const;
  /// The lowest and second lowest places at `waves_of_first` = first mode's frequency times the tooth period. Depth is
  /// infinite where there is none.
  std::array<Crossing, 2> limits_at(double waves_of_first) const;

 private:
  struct Point {
    double ratio = 0;
    double phase = 0;  ///< fraction of a wave
    double depth = 0;
    bool chatters = false;  ///< the real part allows instability at some depth
  };
  std::array<std::vector<Point>, 2> branches_;
  std::vector<double> grid_;
};

}  // namespace hushmill::advise
