// A number with a fixed count of decimals, for sentences. Not locale dependent in what it rounds, nor in its point.
#pragma once

#include <array>
#include <charconv>
#include <string>

namespace hushmill::advise {

inline std::string fixed(double value, int decimals) {
  std::array<char, 64> text{};
  const auto end = std::to_chars(text.data(), text.data() + text.size(), value, std::chars_format::fixed, decimals);
  return std::string(text.data(), end.ptr);
}

}  // namespace hushmill::advise
