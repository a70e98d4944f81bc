// The engine with all that hangs on it, fed with made sound.
#pragma once

#include <cstddef>

#include "fuzz/targets.hpp"

namespace hushmill::fuzz {

/// Sound in pieces of at most `longest` samples until there are `most`, cut into blocks of any size, with a deed after each piece.
void listen_to(Input input, std::size_t longest, std::size_t most);

}  // namespace hushmill::fuzz
