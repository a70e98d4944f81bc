// WAV files written and read byte by byte, so that tests can make what no library would write: samples that are no
// numbers, headers that lie. Layout: the RIFF form of "Multimedia Programming Interface and Data Specifications 1.0",
// IBM and Microsoft 1991 (from memory).
#pragma once

#include <cstdint>
#include <filesystem>
#include <vector>

namespace hushmill::test {

/// A file of 32-bit floating-point samples, interleaved.
std::vector<std::uint8_t> float_wav(int sample_rate_hz, int channels, const std::vector<float>& samples);

/// The samples of a mono file of 16-bit whole numbers, full scale ±1. Throws std::runtime_error for any other file.
struct Sound {
  double sample_rate_hz = 0;
  std::vector<float> samples;
};
Sound read_16_bit_wav(const std::filesystem::path& file);

}  // namespace hushmill::test
