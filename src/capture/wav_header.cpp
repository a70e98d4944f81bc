#include "capture/wav_header.hpp"

#include <algorithm>
#include <array>
#include <fstream>
#include <string_view>

namespace hushmill::capture {
namespace {

constexpr std::uint64_t kLeastHidden = 4096;  // less is a tail that some program left

std::uint64_t little_endian(const char* bytes) {
  std::uint64_t value = 0;
  for (int i = 3; i >= 0; --i) value = 256 * value + static_cast<unsigned char>(bytes[i]);
  return value;
}

bool is_name(std::string_view id) {
  return std::all_of(id.begin(), id.end(), [](char c) { return c >= 0x20 && c < 0x7f; });
}

}  // namespace

std::uint64_t bytes_behind_the_sound(const std::filesystem::path& file) {
  std::error_code error;
  const std::uint64_t length = std::filesystem::file_size(file, error);
  std::ifstream in(file, std::ios::binary);
  std::array<char, 12> head{};
  if (error || !in.read(head.data(), head.size())) return 0;
  if (std::string_view(head.data(), 4) != "RIFF" || std::string_view(head.data() + 8, 4) != "WAVE") return 0;
  bool sound_seen = false;
  for (std::uint64_t at = 12; at + 8 <= length;) {
    std::array<char, 8> chunk{};
    in.seekg(static_cast<std::streamoff>(at));
    if (!in.read(chunk.data(), chunk.size())) return 0;
    const std::uint64_t bytes = little_endian(chunk.data() + 4);
    const bool fits = at + 8 + bytes <= length;
    if (sound_seen && !(fits && is_name({chunk.data(), 4}))) return length - at >= kLeastHidden ? length - at : 0;
    if (!fits) return 0;  // promises more than there is: the library sees that
    sound_seen = sound_seen || std::string_view(chunk.data(), 4) == "data";
    at += 8 + bytes + bytes % 2;
  }
  return 0;
}

}  // namespace hushmill::capture
