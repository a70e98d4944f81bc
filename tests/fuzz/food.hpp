// Bytes as numbers and texts: what a fuzz target takes its decisions from. Never runs out: behind the end stand zeros.
#pragma once

#include <algorithm>
#include <bit>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <string>
#include <string_view>

#include "fuzz/targets.hpp"

namespace hushmill::fuzz {

class Food {
 public:
  explicit Food(Input input) : left_(input) {}

  bool empty() const noexcept { return left_.empty(); }
  std::uint8_t byte() noexcept {
    if (left_.empty()) return 0;
    const std::uint8_t first = left_.front();
    left_ = left_.subspan(1);
    return first;
  }
  /// Below `most`.
  std::size_t below(std::size_t most) noexcept { return static_cast<std::size_t>(word(most > 256 ? 2 : 1)) % most; }
  std::uint64_t word(int bytes) noexcept {
    std::uint64_t value = 0;
    for (int i = 0; i < bytes; ++i) value = value << 8U | byte();
    return value;
  }
  /// Any number at all: small ones, those at the edges, and any pattern of bits, NaN and infinity among them.
  double number() noexcept {
    constexpr double kEdges[] = {0, -0.0, 1, -1, 0.5, 100, 6000, 48000, 1e9, 1e-9, 2147483647, -2147483648.0, 9223372036854775807.0, 1e19, 1e308, -1e308};
    const std::uint8_t kind = byte();
    if (kind < 128) return kEdges[kind % std::size(kEdges)];
    if (kind < 192) return static_cast<double>(static_cast<std::int16_t>(word(2))) / (kind & 1U ? 1.0 : 100.0);
    return std::bit_cast<double>(word(8));
  }
  float any_float() noexcept { return std::bit_cast<float>(static_cast<std::uint32_t>(word(4))); }
  std::string text(std::size_t most) {
    std::string made;
    for (std::size_t wanted = std::min(below(most + 1), left_.size()); wanted > 0; --wanted) made += static_cast<char>(byte());
    return made;
  }
  /// The bytes up to the next line break, without it.
  std::string line() {
    const auto end = std::find(left_.begin(), left_.end(), std::uint8_t{'\n'});
    const std::string made(left_.begin(), end);
    left_ = left_.subspan(std::min(left_.size(), made.size() + 1));
    return made;
  }

 private:
  Input left_;
};

}  // namespace hushmill::fuzz
