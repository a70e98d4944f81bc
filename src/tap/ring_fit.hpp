// Decaying sinusoids fitted to the spectra of several rings at once: the poles are shared, the amplitudes are each ring's own.
//
// The transform of A·exp(p·t) cut off after N samples is A·(1 − zᴺ)/(1 − z·exp(−iω)), z = exp(p/rate), at every bin exactly; so a
// band of bins can be fitted without a filter and its delay. What lies outside the band (other modes, the mirror at negative
// frequency, the push of the hammer, hum) is smooth inside and goes into a short polynomial. Amplitudes are eliminated (variable
// projection: G.H. Golub, V. Pereyra, SIAM J. Numer. Anal. 10 (1973) 413-432, from memory), poles by damped Gauss-Newton steps.
// Pure; any thread; cost of a step about bins × (poles + rings)².
#pragma once

#include <Eigen/Core>
#include <complex>
#include <vector>

namespace hushmill::tap {

using Pole = std::complex<double>;  ///< −σ + iω in rad/s

/// Bins of one band of several rings of equal length.
struct BandData {
  double rate_hz = 0;
  std::size_t ring_samples = 0;  ///< N
  std::size_t first_bin = 0;
  Eigen::MatrixXcd bins;         ///< a row for each bin, a column for each ring: DFT over sqrt(N), weighed
  double skipped_s = 0;          ///< the bins begin so long after the ring
  double extra_decay_per_s = 0;  ///< every σ is larger by this, since the sound was damped
  Eigen::VectorXd weights;       ///< of each bin: one over the standard error that is expected there
  Eigen::MatrixXcd whitener;     ///< instead of them, where errors of bins go together: lower triangle; empty otherwise

  double bin_rad_s() const noexcept;
  double from_rad_s() const noexcept { return bin_rad_s() * static_cast<double>(first_bin); }
  double to_rad_s() const noexcept { return bin_rad_s() * static_cast<double>(first_bin + static_cast<std::size_t>(bins.rows()) - 1); }
  double ring_s() const noexcept { return static_cast<double>(ring_samples) / rate_hz; }
  BandData only(const std::vector<Eigen::Index>& rings) const;
  /// Columns of plain bins as `bins` holds them.
  Eigen::MatrixXcd weighed(const Eigen::MatrixXcd& columns) const;
};

class RingFit {
 public:
  /// `smooth_terms` polynomial terms stand for all that lies outside the band. `data` must outlive the fit.
  RingFit(const BandData& data, int smooth_terms);

  void set_poles(std::vector<Pole> poles);
  /// Steps until the misfit no longer falls, `most_steps` at most. Only poles from `first_free` on move.
  void improve(int most_steps, std::size_t first_free = 0);

  const std::vector<Pole>& poles() const noexcept { return poles_; }
  /// Squared misfit, all bins and rings.
  double misfit() const noexcept { return misfit_; }
  /// Mean squared misfit per bin, corrected for what was fitted; at least the 1 that the weights expect.
  double noise_power() const;
  /// −2 ln(likelihood) with Schwarz's price for each number that was fitted (G. Schwarz, Ann. Statist. 6 (1978) 461-464, from memory).
  double criterion() const;
  /// By how much the misfit grows without that pole, in units of the noise power.
  double weight_of(std::size_t pole) const;
  /// The same for each ring.
  std::vector<double> weights_of(std::size_t pole) const;
  /// Standard error of σ, and of ω, rad/s.
  double spread_of(std::size_t pole) const;
  /// Amplitude at the start of each ring, in units of the samples.
  std::vector<double> amplitudes_of(std::size_t pole) const;
  /// What a pole there looks like in the bins.
  Eigen::VectorXcd column(Pole pole) const;
  /// By how much the misfit would fall with each of these columns, before anything is moved.
  Eigen::VectorXd gains_of(const Eigen::MatrixXcd& columns) const;

 private:
  Eigen::VectorXcd slope(Pole pole) const;
  void project();
  bool allowed(Pole pole) const noexcept;

  const BandData* data_;
  Eigen::Index smooth_;
  Eigen::VectorXcd turn_;      // exp(−iω) at each bin
  std::vector<Pole> poles_;
  Eigen::MatrixXcd basis_;     // orthonormal: smooth terms, then poles
  Eigen::MatrixXcd amounts_;   // poles × rings
  Eigen::MatrixXcd rest_;      // misfit
  double misfit_ = 0;
};

}  // namespace hushmill::tap
