#include "fuzz/listen_to.hpp"

namespace hushmill::fuzz {

// Long enough for a room, a cut, an alarm and ramps between speeds; fewer executions in the same time.
void long_sound(Input input) { listen_to(input, 48000, 120000); }

}  // namespace hushmill::fuzz
