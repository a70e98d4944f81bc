// SHA-256 (FIPS 180-4, 2015): tells whether a recording is still the one that was kept. Reads the disk: not for the
// audio or listening thread.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <fstream>
#include <optional>
#include <span>
#include <string>

namespace hushmill::journal {

class Sha256 {
 public:
  void add(std::span<const std::uint8_t> bytes) noexcept;
  /// 64 hexadecimal digits; afterwards nothing may be added.
  std::string finish() noexcept;

 private:
  void block(const std::uint8_t* bytes) noexcept;

  std::array<std::uint32_t, 8> state_{0x6a09e667, 0xbb67ae85, 0x3c6ef372, 0xa54ff53a,
                                      0x510e527f, 0x9b05688c, 0x1f83d9ab, 0x5be0cd19};
  std::array<std::uint8_t, 64> waiting_{};
  std::size_t waiting_bytes_ = 0;
  std::uint64_t bytes_ = 0;
};

/// Of a whole file, some megabytes at a time, so that a thread can do other things meanwhile.
class FileSha256 {
 public:
  explicit FileSha256(const std::filesystem::path& file) : in_(file, std::ios::binary), ok_(in_.good()) {}
  /// True when all was read.
  bool step();
  /// After the last step; none when the file could not be read.
  const std::optional<std::string>& result() const noexcept { return result_; }

 private:
  std::ifstream in_;
  bool ok_;
  Sha256 sum_;
  std::optional<std::string> result_;
};

/// Of a whole file at once.
std::optional<std::string> sha256_of(const std::filesystem::path& file);

}  // namespace hushmill::journal
