// One mode's band of all rings, in which the errors are the room's noise and the room's answer to the ring.
//
// The answer is the ring once more, times what the room does at each frequency: Gaussian noise of a covariance that follows from the
// modes and from how much and how long the room answers. Taps that differ by a factor only say the same about the room, so rings are
// summed up first, into as many sums as there are modes in the band; noise stays as it is. Pure; one thread; cost about
// (bins × modes)³.
#pragma once

#include <Eigen/Core>
#include <vector>

#include "tap/evidence.hpp"
#include "tap/rings.hpp"

namespace hushmill::tap {

/// How a room answers.
struct NearRoom {
  double share = 0.01;  ///< energy of the answer to a click over that of the click
  double tail_s = 0.5;  ///< until it has fallen by 60 dB
};

class EchoLook {
 public:
  /// Around `modes[which]`; the other modes and steady tones of the room are fitted along. `rings` is needed here only.
  EchoLook(Rings& rings, const std::vector<Evidence>& modes, std::size_t which, const std::vector<double>& tones_hz);

  /// False when the band is too short for all that is in it; then nothing else may be asked.
  bool good() const noexcept { return good_; }
  /// −2 ln(likelihood) in that room with the poles as they are, amplitudes left out of the reckoning by what they cost
  /// (H.D. Patterson, R. Thompson, Biometrika 58 (1971) 545-554, from memory).
  double cost(const NearRoom& room);
  /// Moves the poles to the least misfit in that room. False when that fails.
  bool settle(const NearRoom& room);

  Pole pole() const { return poles_.front(); }
  /// Standard error of its decay, and of its frequency.
  double spread_rad_s() const noexcept { return spread_; }

 private:
  Eigen::VectorXcd column(Pole pole, double late_s) const;
  Eigen::VectorXcd slope(Pole pole) const;
  Eigen::MatrixXcd columns() const;
  Eigen::MatrixXcd whitened_columns(const Eigen::MatrixXcd& one) const;
  void sum_up();
  bool whiten(const NearRoom& room);
  void linearise();
  bool move_by(const Eigen::VectorXcd& moves);

  BandData data_;
  Eigen::VectorXd noise_;       // power in each bin
  Eigen::VectorXcd turn_;       // exp(−iω) at each bin
  std::vector<Pole> poles_;     // the one that is asked for, others in the band, others near it
  std::size_t free_ = 1;        // so many of them move
  std::vector<double> tones_;   // rad/s
  Eigen::MatrixXcd sums_;       // bins × sums
  Eigen::MatrixXcd in_sums_;    // amounts: modes × sums
  Eigen::MatrixXcd root_;       // of the covariance, lower triangle
  Eigen::VectorXcd heard_;      // the sums one after the other, whitened
  double misfit_ = 0;
  Eigen::MatrixXcd normal_;     // of a Gauss-Newton step
  Eigen::VectorXcd side_;
  double spread_ = 0;
  bool good_ = false;
};

}  // namespace hushmill::tap
