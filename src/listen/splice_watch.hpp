// Steps that no microphone makes: where samples are missing, the sound jumps from one sample to the next and is as smooth as
// ever on both sides. A knock or a tooth rings on afterwards, since sound is band-limited. Value: jumps so far.
//
// A jump counts when it is seven times the root mean square of the steps on either side of it and the steps next to it
// are small; three are named. Missing pieces jump up as often as down; teeth that strike hard, as in heavy chatter, always the
// same way: with teeth expected, many jumps of one direction are no fault. In loud hiss a jump drowns and is not found. Afterwards the finding stays.
#pragma once

#include <optional>

#include "listen/input_frame.hpp"

namespace hushmill::listen {

class SpliceWatch {
 public:
  void process(const InputFrame& frame) noexcept;
  /// A tool may be cutting: teeth strike.
  void expect_teeth() noexcept { teeth_ = true; }
  std::optional<MicrophoneFinding> finding() const noexcept;

 private:
  int jumps_ = 0;
  int upward_ = 0;
  bool teeth_ = false;
  double first_s_ = 0;
  double last_s_ = 0;
};

}  // namespace hushmill::listen
