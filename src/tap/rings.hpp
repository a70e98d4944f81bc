// The rings after the taps that count, and the room before them, as spectra of one band at a time.
//
// How much of a ring is looked at depends on the band: as long as it stands over the room there, since what comes after holds only
// noise. Transforms are kept, neighbouring bands share them. Not for several threads at once.
#pragma once

#include <complex>
#include <algorithm>
#include <cstddef>
#include <map>
#include <span>
#include <utility>
#include <vector>

#include "tap/ring_fit.hpp"

namespace hushmill::tap {

/// From the first sample up to, but not with, the last.
struct Stretch {
  std::size_t from = 0, to = 0;
  std::size_t size() const noexcept { return to - from; }
};

class Rings {
 public:
  /// `room` may be empty. `sound` must outlive this.
  Rings(std::span<const float> sound, double rate_hz, std::vector<Stretch> rings, Stretch room);

  /// The band's bins of every ring, over the length in which the band stands over the room.
  BandData band(double from_hz, double to_hz);
  /// The same bins once more for a ring that decays by `decay_per_s`. Of a narrow mode the first is left out, where the room's early
  /// answers arrive, and the late part is damped where the ring would drown in the room's tail; for a broad one the room's answer is
  /// put into the weights, which then go from bin to bin.
  BandData looked_at_for(const BandData& like, double decay_per_s);
  /// A ring that dies before the room's answer is over, but not before it begins.
  static bool is_broad(double decay_per_s) noexcept;
  /// A band over a given length from the first sample of every ring, as it is: bins of DFT over sqrt(N), all weights 1.
  BandData plain(double from_hz, double to_hz, double length_s);
  /// Power of the room's noise that is expected in each of its bins; 0 without a room.
  Eigen::VectorXd noise_of(const BandData& data);
  /// Peak of the strongest steady tone of the room between these, in units of the samples; 0 without a room.
  double room_peak(double from_hz, double to_hz);
  double highest_hz() const noexcept { return 0.45 * rate_hz_; }
  double shortest_s() const noexcept { return static_cast<double>(shortest_) / rate_hz_; }
  std::size_t count() const noexcept { return rings_.size(); }
  double rate() const noexcept { return rate_hz_; }
  std::size_t room_samples() const noexcept { return std::max<std::size_t>(1, room_.size()); }

 private:
  using Bins = std::vector<std::complex<float>>;
  const Bins& spectrum(std::size_t from, std::size_t size);
  void transform(BandData& data);
  void fill(BandData& data, bool errors_go_together);
  double room_density(double from_hz, double to_hz);
  double power(std::size_t from, std::size_t size, double from_hz, double to_hz);
  std::size_t length_for(double from_hz, double to_hz);

  std::span<const float> sound_;
  double rate_hz_;
  std::vector<Stretch> rings_;
  Stretch room_;
  std::size_t shortest_;
  std::map<std::pair<std::size_t, std::size_t>, Bins> kept_;  // under a Hann window, of unit noise gain
};

}  // namespace hushmill::tap
