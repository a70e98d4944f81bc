// Buffers that were handed out twice: a stretch as long as a sound system's buffer that equals the one before it, sample
// by sample. A steady tone repeats as well, but it goes on repeating. Value: doubled buffers so far; two are named.
//
// Looked for at the usual buffer lengths only. The finding stays.
#pragma once

#include <array>
#include <optional>

#include "listen/input_frame.hpp"

namespace hushmill::listen {

class DoubledWatch {
 public:
  void process(const InputFrame& frame) noexcept;
  std::optional<MicrophoneFinding> finding() const noexcept;

 private:
  static constexpr std::array<std::size_t, 11> kLengths{64, 128, 192, 240, 256, 441, 480, 512, 882, 960, 1024};
  void end_run(const InputFrame& frame, std::size_t at, std::size_t length) noexcept;

  std::array<bool, kLengths.size()> equal_{};
  int doubled_ = 0;
  double first_s_ = 0, last_s_ = 0;
};

}  // namespace hushmill::listen
