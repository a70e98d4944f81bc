#include "support/wav.hpp"

#include <bit>
#include <cstring>
#include <span>
#include <stdexcept>
#include <string_view>

#include "support/temporary_folder.hpp"

namespace hushmill::test {
namespace {

void put(std::vector<std::uint8_t>& bytes, std::string_view tag) { bytes.insert(bytes.end(), tag.begin(), tag.end()); }

void put(std::vector<std::uint8_t>& bytes, std::uint32_t value, int count) {
  for (int i = 0; i < count; ++i) bytes.push_back(static_cast<std::uint8_t>(value >> (8 * i)));
}

std::uint32_t get(std::span<const std::uint8_t> bytes, std::size_t at, std::size_t count) {
  if (at + count > bytes.size()) throw std::runtime_error("the file ends within a number");
  std::uint32_t value = 0;
  for (std::size_t i = 0; i < count; ++i) value |= static_cast<std::uint32_t>(bytes[at + i]) << (8 * i);
  return value;
}

}  // namespace

std::vector<std::uint8_t> float_wav(int sample_rate_hz, int channels, const std::vector<float>& samples) {
  constexpr std::uint32_t kFloat = 3;
  const auto data = static_cast<std::uint32_t>(4 * samples.size());
  const auto frame = static_cast<std::uint32_t>(4 * channels);
  std::vector<std::uint8_t> bytes;
  put(bytes, "RIFF");
  put(bytes, 36 + data, 4);
  put(bytes, "WAVEfmt ");
  put(bytes, 16, 4);
  put(bytes, kFloat, 2);
  put(bytes, static_cast<std::uint32_t>(channels), 2);
  put(bytes, static_cast<std::uint32_t>(sample_rate_hz), 4);
  put(bytes, static_cast<std::uint32_t>(sample_rate_hz) * frame, 4);
  put(bytes, frame, 2);
  put(bytes, 32, 2);
  put(bytes, "data");
  put(bytes, data, 4);
  for (const float sample : samples) put(bytes, std::bit_cast<std::uint32_t>(sample), 4);
  return bytes;
}

Sound read_16_bit_wav(const std::filesystem::path& file) {
  const auto bytes = file_bytes(file);
  const auto tag = [&](std::size_t at) {
    return at + 4 <= bytes.size() ? std::string_view(reinterpret_cast<const char*>(bytes.data()) + at, 4) : "";
  };
  if (tag(0) != "RIFF" || tag(8) != "WAVE") throw std::runtime_error(file.string() + " is no WAV file");
  Sound sound;
  for (std::size_t at = 12; at + 8 <= bytes.size();) {
    const std::size_t size = get(bytes, at + 4, 4);
    if (tag(at) == "fmt ") {
      if (get(bytes, at + 10, 2) != 1 || get(bytes, at + 22, 2) != 16)
        throw std::runtime_error(file.string() + " is not mono in 16 bits");
      sound.sample_rate_hz = get(bytes, at + 12, 4);
    } else if (tag(at) == "data") {
      for (std::size_t i = at + 8; i + 2 <= at + 8 + size; i += 2)
        sound.samples.push_back(static_cast<float>(static_cast<std::int16_t>(get(bytes, i, 2))) / 32768.0F);
    }
    at += 8 + size + size % 2;
  }
  if (sound.sample_rate_hz <= 0 || sound.samples.empty()) throw std::runtime_error(file.string() + " holds no sound");
  return sound;
}

}  // namespace hushmill::test
