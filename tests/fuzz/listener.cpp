#include "fuzz/listen_to.hpp"

namespace hushmill::fuzz {

void listener(Input input) { listen_to(input, 2048, 6000); }

}  // namespace hushmill::fuzz
