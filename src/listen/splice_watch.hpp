// Steps that no microphone makes: where samples are missing, the sound jumps from one sample to the next and is as smooth as
// ever on both sides. A knock or a tooth rings on afterwards, since sound is band-limited. Value: jumps so far.
//
// A jump counts when it is seven times the root mean square of the steps on either side of it and the steps next to it
// are small; three are named. In loud hiss a jump drowns and is not found. Afterwards the finding stays.
#pragma once

#include <optional>

#include "listen/input_frame.hpp"

namespace hushmill::listen {

class SpliceWatch {
 public:
  void process(const InputFrame& frame) noexcept;
  std::optional<MicrophoneFinding> finding() const noexcept;

 private:
  int jumps_ = 0;
  double first_s_ = 0;
  double last_s_ = 0;
};

}  // namespace hushmill::listen
