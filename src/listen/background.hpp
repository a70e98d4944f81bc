// What each bin of a spectrum held before: the larger of the floor round it and its own recent history.
//
// Floor: a low rank among neighbouring bins, then medians of medians over some 65 bins, so that a line does not raise its
// own floor. History: third highest of ten block means, 2 s together, ending a quarter second before now; it silences fans,
// hum, whine and runout, and does not yet hold a tone that is just rising. Both are plain minima and maxima over whole
// arrays, which compilers turn into vector code. Bins marked as held keep their history (a chatter tone under
// suspicion must not become its own background).
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

namespace hushmill::listen {

class Background {
 public:
  /// `row_s`: time between the rows that will be given.
  Background(std::size_t bins, double row_s);

  /// Next row; `held` has one flag a bin.
  void process(std::span<const float> power, std::span<const std::uint8_t> held);

  /// Local floor of the row given last.
  std::span<const float> floor() const noexcept { return floor_; }
  /// The bin's own history; zeros until half a second was heard.
  std::span<const float> history() const noexcept { return history_; }
  /// Drops the history (the entered speed changed: the old lines say nothing of the new ones).
  void forget() noexcept;

 private:
  void find_floor(std::span<const float> power);
  void close_block();

  std::size_t bins_;
  std::size_t rows_per_block_;
  std::size_t rows_in_block_ = 0;
  std::vector<float> sum_;
  std::vector<float> blocks_;  ///< ring of block means, blocks × bins
  std::size_t block_count_ = 0;
  std::vector<float> floor_;
  std::vector<float> history_;
  std::vector<float> highest_;  ///< the three highest blocks, bin by bin
  std::vector<float> second_;
  std::size_t groups_;      ///< of five bins
  std::vector<float> low_;  ///< one low rank a group; at both ends the last one again, for those beside it that are missing
  std::vector<float> medians_;  ///< likewise
  std::vector<float> levels_;   ///< one a group
};

}  // namespace hushmill::listen
