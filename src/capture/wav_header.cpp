#include "capture/wav_header.hpp"

#include <algorithm>
#include <array>
#include <fstream>
#include <string>
#include <string_view>

namespace hushmill::capture {
namespace {

constexpr std::uint64_t kFirstChunk = 12;
constexpr std::uint64_t kLeastHidden = 4096;  // less is a tail that some program left
constexpr std::uint64_t kLongestList = 1 << 20;  // remarks of a megabyte are none
constexpr std::uint64_t kAllNumbers = std::uint64_t{1} << 32;

std::uint64_t little_endian(std::string_view bytes) {
  std::uint64_t value = 0;
  for (std::size_t i = bytes.size(); i > 0; --i) value = 256 * value + static_cast<unsigned char>(bytes[i - 1]);
  return value;
}

std::uint64_t big_endian(std::string_view bytes) {
  std::uint64_t value = 0;
  for (const char byte : bytes) value = 256 * value + static_cast<unsigned char>(byte);
  return value;
}

bool is_name(std::string_view id) {
  return std::all_of(id.begin(), id.end(), [](char c) { return c >= 0x20 && c < 0x7f; });
}

struct Chunk {
  std::array<char, 4> name{};
  std::uint64_t at = 0;     // of its name, bytes from the start of the file
  std::uint64_t bytes = 0;  // of its content, as it states
  std::string_view id() const { return {name.data(), name.size()}; }
  std::uint64_t end() const { return at + 8 + bytes; }
};

/// Walks the chunks of a RIFF, RIFX or RF64 file (its long form, EBU Tech 3306, keeps the sound's true size in "ds64").
class ChunkWalk {
 public:
  explicit ChunkWalk(const std::filesystem::path& file) : in_(file, std::ios::binary) {
    std::error_code error;
    length_ = std::filesystem::file_size(file, error);
    const std::string head = error ? std::string() : text(0, 12);
    if (head.size() == 12 && head.substr(8) == "WAVE") kind_ = head.substr(0, 4);
  }

  bool is(std::string_view kind) const { return kind_ == kind; }
  bool is_wave() const { return is("RIFF") || is("RIFX") || is("RF64"); }
  std::uint64_t length() const { return length_; }

  /// The chunk that stands at this byte; none where the file ends.
  std::optional<Chunk> at(std::uint64_t byte) {
    const std::string head = text(byte, 8);
    if (head.size() < 8) return std::nullopt;
    Chunk chunk{.at = byte, .bytes = number(std::string_view(head).substr(4))};
    std::copy_n(head.begin(), 4, chunk.name.begin());
    if (chunk.id() == "ds64") long_sound_bytes_ = std::min(little_endian(text(byte + 16, 8)), kMoreThanAnyFile);
    if (is("RF64") && chunk.id() == "data" && chunk.bytes == kSeeDs64) chunk.bytes = long_sound_bytes_;
    return chunk;
  }

  std::uint64_t number(std::string_view bytes) const { return is("RIFX") ? big_endian(bytes) : little_endian(bytes); }
  bool fits(const Chunk& chunk) const { return chunk.bytes <= length_ && chunk.end() <= length_; }

  std::string text(std::uint64_t byte, std::size_t bytes) {
    std::string read(bytes, '\0');
    in_.clear();
    in_.seekg(static_cast<std::streamoff>(byte));
    in_.read(read.data(), static_cast<std::streamsize>(bytes));
    read.resize(static_cast<std::size_t>(in_.gcount()));
    return read;
  }

 private:
  static constexpr std::uint64_t kSeeDs64 = 0xffffffff;
  static constexpr std::uint64_t kMoreThanAnyFile = std::uint64_t{1} << 62;  // and no sum of it overflows
  std::ifstream in_;
  std::uint64_t length_ = 0;
  std::string kind_;
  std::uint64_t long_sound_bytes_ = 0;
};

/// Every chunk begins at an even byte.
std::uint64_t next_after(const Chunk& chunk) { return chunk.end() + chunk.bytes % 2; }

}  // namespace

std::uint64_t bytes_behind_the_sound(const std::filesystem::path& file) {
  ChunkWalk walk(file);
  if (!walk.is("RIFF")) return 0;
  bool sound_seen = false;
  for (std::uint64_t at = kFirstChunk; at + 8 <= walk.length();) {
    const auto chunk = walk.at(at);
    if (!chunk) return 0;
    const bool fits = walk.fits(*chunk);
    const std::uint64_t left = walk.length() - at;
    if (sound_seen && !(fits && is_name(chunk->id()))) return left >= kLeastHidden ? left : 0;
    if (!fits) return 0;  // promises more than there is: the library sees that
    sound_seen = sound_seen || chunk->id() == "data";
    at = next_after(*chunk);
  }
  return 0;
}

std::optional<std::uint64_t> endless_entry(const std::filesystem::path& file) {
  ChunkWalk walk(file);
  if (!walk.is_wave()) return std::nullopt;
  for (auto chunk = walk.at(kFirstChunk); chunk; chunk = walk.at(next_after(*chunk))) {
    if (chunk->id() == "LIST") {
      // Where the entries begin depends on what they are named, so every place is looked at: no text holds such a number.
      const std::uint64_t stated = std::min(chunk->bytes, kLongestList);
      const std::string list = walk.text(chunk->at + 8, stated);
      for (std::size_t i = 0; i + 4 <= list.size(); ++i)
        if (walk.number(std::string_view(list).substr(i, 4)) >= kAllNumbers - stated - 12) return chunk->at + 8 + i;
    }
    if (!walk.fits(*chunk) || !is_name(chunk->id())) break;
  }
  return std::nullopt;
}

}  // namespace hushmill::capture
