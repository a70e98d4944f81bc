// The corpus of the fuzzer, fed once more with any compiler: seeds, what once did harm, and the same with small changes.
#pragma once

#include <string_view>

#include "fuzz/targets.hpp"

namespace hushmill::fuzz {

/// Feeds one target nothing at all, then every file of corpus/NAME in order of name, then `changed` of them with one to four
/// small changes, the same at every run. A promise that is broken ends the process.
void replay(std::string_view name, void (*target)(Input), int changed);

}  // namespace hushmill::fuzz
