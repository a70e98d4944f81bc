// Samples that equal the one before them, exactly. Real sound hardly ever repeats a value; machines do:
//
//   `dropped_samples`  24 equal samples or more amid sound: a lost block filled with silence. Value: gaps so far.
//   `clipped`          three or more at the very top, reached and left steeply, in five frames: flat tops, also where the
//                      level was turned down after the clipping. Value: their level, dBFS.
//   `rate_mismatch`    steep sound that stands still for a sample at regular distances: a rate made by repeating samples.
//                      Value: samples from one repetition to the next.
// All three stay once found.
#pragma once

#include <cstdint>
#include <optional>

#include "listen/input_frame.hpp"

namespace hushmill::listen {

class EqualRuns {
 public:
  void process(const InputFrame& frame) noexcept;
  std::optional<MicrophoneFinding> filled_gaps() const noexcept;
  std::optional<MicrophoneFinding> flat_tops() const noexcept;
  std::optional<MicrophoneFinding> repeated_samples() const noexcept;

 private:
  void end_run(const InputFrame& frame, std::size_t at, float after) noexcept;

  std::size_t run_ = 0;     ///< samples that equalled the one before
  float before_run_ = 0;
  double power_before_ = 0; ///< of the frame before this one
  std::uint64_t sample_ = 0;

  int gaps_ = 0;
  double first_gap_s_ = 0, last_gap_s_ = 0;

  int flat_frames_ = 0;
  bool flat_here_ = false;
  double first_flat_s_ = 0, last_flat_s_ = 0;
  float flat_level_ = 0;

  double steep_ = 0, held_ = 0, regular_ = 0, distances_ = 0;
  std::uint64_t last_held_ = 0;
  std::uint64_t last_distance_ = 0;
  double held_since_s_ = 0, now_s_ = 0;
};

}  // namespace hushmill::listen
