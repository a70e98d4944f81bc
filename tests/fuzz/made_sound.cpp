#include "fuzz/made_sound.hpp"

#include <cmath>
#include <numbers>

namespace hushmill::fuzz {

void add_piece(Food& food, double sample_rate_hz, std::size_t most, std::vector<float>& sound) {
  constexpr float kNan = std::numeric_limits<float>::quiet_NaN(), kInfinite = std::numeric_limits<float>::infinity();
  constexpr float kSizes[] = {0.1F, 1.0F, 0.001F, 1e-7F, 1e-38F, 1e-44F, 3.0F, 1e6F, 1e18F, 3e38F};
  const std::size_t kind = food.below(11);
  const std::size_t count = 1 + static_cast<std::size_t>(food.word(2)) % most;
  const float size = kSizes[food.below(std::size(kSizes))];
  const double hz = 10 + static_cast<double>(food.word(2)) / 8;
  std::uint32_t noise = static_cast<std::uint32_t>(food.word(2)) * 2U + 1U;
  const auto chance = [&] { return static_cast<float>(static_cast<std::int32_t>(noise = noise * 1664525U + 1013904223U)) / 2147483648.0F; };
  const float raw = food.any_float();
  for (std::size_t i = 0; i < count; ++i) {
    const double turn = 2 * std::numbers::pi * hz * static_cast<double>(sound.size()) / sample_rate_hz;
    float value = 0;
    switch (kind) {
      case 0: value = size * chance(); break;
      case 1: value = size * static_cast<float>(std::sin(turn)); break;
      // Teeth with something beside them.
      case 2: value = size * static_cast<float>(0.4 * std::sin(turn) + 0.3 * std::sin(2 * turn) + 0.2 * std::sin(3 * turn) + 0.3 * std::sin(3.37 * turn)) + 0.01F * size * chance(); break;
      case 3: value = i % 2 == 0 ? size : -size; break;
      case 4: value = size; break;
      case 5: value = kNan; break;
      case 6: value = i % 3 == 0 ? kInfinite : -kInfinite; break;
      case 7: value = raw; break;
      case 8: value = food.empty() ? 0.0F : food.any_float(); break;
      // Teeth and nothing else.
      case 9: value = size * static_cast<float>(0.4 * std::sin(turn) + 0.3 * std::sin(2 * turn) + 0.2 * std::sin(3 * turn) + 0.1 * std::sin(4 * turn)) + 0.01F * size * chance(); break;
      // A knock that rings.
      default: value = size * static_cast<float>(std::sin(2 * std::numbers::pi * hz * static_cast<double>(i) / sample_rate_hz) * std::exp(-30 * static_cast<double>(i) / sample_rate_hz)); break;
    }
    sound.push_back(value);
  }
}

}  // namespace hushmill::fuzz
