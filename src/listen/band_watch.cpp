#include "listen/band_watch.hpp"

#include <algorithm>
#include <cmath>

#include "signal/decibel.hpp"
#include "signal/fft.hpp"

namespace hushmill::listen {

namespace {
constexpr double kBandFrameS = 0.085;
constexpr int kEveryFrames = 15;  // of 20 ms
constexpr double kBandFromHz = 2000;
constexpr double kHighestOfRate = 0.42;  // above, the door's own filter falls
constexpr double kHighestEdgeHz = 9500;  // the engine listens up to here
constexpr double kLeastDropDb = 25;
constexpr double kLeastBelowDb = -112;  // per bin: what the edge falls from must stand over the noise of 16 bits
constexpr double kBandLeastSpectra = 6;
}  // namespace

BandWatch::BandWatch(double rate_hz)
    : spectrum_(signal::fft_size_at_least(static_cast<std::size_t>(kBandFrameS * rate_hz)), rate_hz) {
  const double step = std::exp2(1.0 / 12);
  for (double hz = kBandFromHz; hz * step < kHighestOfRate * rate_hz; hz *= step) {
    Cell cell;
    cell.from = static_cast<std::size_t>(hz / spectrum_.bin_hz());
    cell.to = std::max(cell.from + 1, static_cast<std::size_t>(hz * step / spectrum_.bin_hz()));
    cell.from_hz = hz;
    cells_.push_back(cell);
  }
  sorted_.resize(spectrum_.size_bins());
}

bool BandWatch::process(const InputFrame& frame) noexcept {
  now_s_ = frame.end_s;
  if (++frames_ % kEveryFrames != 0 || frame.power < kPowerOfMinus70Dbfs) return false;
  const std::size_t size = spectrum_.size_samples();
  if (frame.end_s * frame.rate_hz < static_cast<double>(size)) return false;
  spectrum_.process(frame.past_and_frame.last(size));
  const auto power = spectrum_.power();
  if (count_ == 0) first_s_ = frame.end_s;
  count_ = std::min(count_ + 1, 240.0);
  for (Cell& cell : cells_) {
    const auto first = sorted_.begin();
    const auto last = std::copy(power.begin() + static_cast<std::ptrdiff_t>(cell.from),
                                power.begin() + static_cast<std::ptrdiff_t>(cell.to), first);
    const auto middle = first + (last - first) / 2;
    std::nth_element(first, middle, last);
    cell.mean_db += (signal::power_db(static_cast<double>(*middle)) - cell.mean_db) / count_;
  }
  return true;
}

std::optional<MicrophoneFinding> BandWatch::finding() const noexcept {
  if (count_ < kBandLeastSpectra || cells_.size() < 8) return std::nullopt;
  double above = cells_.back().mean_db;  // the highest of all cells above the edge
  for (std::size_t i = cells_.size() - 1; i >= 4; --i) {
    above = std::max(above, cells_[i].mean_db);
    const Cell& below = cells_[i - 4];
    const bool falls = below.mean_db - above >= kLeastDropDb && below.mean_db >= kLeastBelowDb;
    if (falls && cells_[i - 2].from_hz <= kHighestEdgeHz)
      return MicrophoneFinding{Warning::narrow_band, first_s_, now_s_, cells_[i - 2].from_hz};
  }
  return std::nullopt;
}

}  // namespace hushmill::listen
