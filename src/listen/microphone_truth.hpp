// Is the input itself to be trusted? Cuts the sound as it came in into frames of 20 ms and hands them to one small test for
// each fault; collects what they found.
//
// Pure and causal: time is the sample count, blocks of any size give the same answer, nothing is allocated after
// construction but what `findings` returns. Delay: named with each test, half a second to ten. Cost: a fourteenth of the
// engine.
#pragma once

#include <cmath>
#include <cstddef>
#include <span>
#include <vector>

#include "listen/band_watch.hpp"
#include "listen/doubled_watch.hpp"
#include "listen/equal_runs.hpp"
#include "listen/gain_watch.hpp"
#include "listen/good_sample.hpp"
#include "listen/holes_watch.hpp"
#include "listen/hum_watch.hpp"
#include "listen/input_frame.hpp"
#include "listen/offset_watch.hpp"
#include "listen/silence_watch.hpp"
#include "listen/splice_watch.hpp"

namespace hushmill::listen {

class MicrophoneTruth {
 public:
  explicit MicrophoneTruth(double sample_rate_hz);

  /// Next sample, full scale ±1; one that is no number counts as the one before it. True once a second, when it is
  /// worth asking for the findings.
  bool push(float sample) noexcept {
    if (is_good_sample(sample)) last_ = sample;
    buffer_[filled_] = last_;
    return ++filled_ == buffer_.size() && run_frame();
  }
  void process(std::span<const float> samples) noexcept {
    for (const float sample : samples) push(sample);
  }

  /// Rotation frequency of the spindle, whose multiples are no mains hum; 0: it stands still.
  void expect_rotation(double rotation_hz) noexcept {
    hum_.expect_rotation(rotation_hz);
    splice_.expect_teeth();
  }

  /// What is wrong so far, each code at most once. `at_end`: no more sound will come.
  std::vector<MicrophoneFinding> findings(bool at_end) const;

 private:
  bool run_frame() noexcept;
  InputFrame measured_frame() noexcept;

  double rate_hz_;
  SilenceWatch silence_;
  OffsetWatch offset_;
  HumWatch hum_;
  SpliceWatch splice_;
  EqualRuns runs_;
  DoubledWatch doubled_;
  BandWatch band_;
  HolesWatch holes_;
  GainWatch gain_;

  std::size_t bass_samples_;
  std::size_t frame_samples_;
  std::vector<float> bass_;
  std::vector<float> buffer_;  ///< past, then the frame
  std::size_t past_;
  std::size_t filled_;
  float last_ = 0;
  std::uint64_t frames_ = 0;
};

}  // namespace hushmill::listen
