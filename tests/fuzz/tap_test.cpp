#include "tap/tap_test.hpp"

#include <cmath>

#include "fuzz/made_sound.hpp"
#include "fuzz/promise.hpp"

namespace hushmill::fuzz {

void tap_test(Input input) {
  Food food(input);
  constexpr double kRates[] = {8000, 11025, 16000, 48000};
  const double rate_hz = kRates[food.below(std::size(kRates))];
  tap::TapTest test(rate_hz);
  std::vector<float> sound;
  for (int piece = 0; piece < 6 && !food.empty(); ++piece) add_piece(food, rate_hz, 3000, sound);
  const std::size_t first = food.below(sound.size() + 1);
  test.process(std::span<const float>(sound).first(first));
  const auto early = test.taps();
  test.process(std::span<const float>(sound).subspan(first));
  // Fitting takes seconds under the sanitizers: only little sound goes through all of it.
  constexpr std::size_t kMostFitted = 2500;
  const auto findings = sound.size() <= kMostFitted ? test.findings() : test.taps();
  for (const auto& mode : findings.modes)
    promise(std::isfinite(mode.natural_hz) && mode.natural_hz > 0 && std::isfinite(mode.damping_ratio) && mode.damping_ratio > 0 && mode.damping_ratio < 1,
            "a mode rings and dies");
  for (const double at_s : findings.tap_s) test.ring(at_s, 0.1);
  promise(early.heard_s <= findings.heard_s, "more sound is not less");
}

}  // namespace hushmill::fuzz
