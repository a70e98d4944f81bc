// The fuzzer's way in; which target it is, the build says.
#include <cstddef>

#include "fuzz/targets.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  hushmill::fuzz::HUSHMILL_FUZZ_TARGET(hushmill::fuzz::Input(data, size));
  return 0;
}
