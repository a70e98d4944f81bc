// Two channels that do not go together. All data are invented.
#include <cmath>
#include <functional>
#include <numbers>
#include <vector>

#include "capture/sides.hpp"
#include "support/catch.hpp"

using namespace hushmill::capture;

namespace {
// A small generator of noise of our own; the standard one's distributions differ between compilers.
double noise(unsigned& state) {
  double sum = 0;
  for (int i = 0; i < 12; ++i) {
    state = state * 1664525U + 1013904223U;
    sum += static_cast<double>(state >> 8U) / 16777216.0;
  }
  return sum - 6;
}

SidesFault judged(Channel chosen, const std::function<double(double mono, double own)>& left, const std::function<double(double mono, double own)>& right) {
  Sides sides(48000, 2, chosen);
  unsigned a = 1, b = 2, c = 3;
  std::vector<float> frames;
  for (int i = 0; i < 96000; ++i) {
    const double mono = 0.05 * noise(a);
    frames.push_back(static_cast<float>(left(mono, 0.05 * noise(b))));
    frames.push_back(static_cast<float>(right(mono, 0.05 * noise(c))));
  }
  sides.process(frames);
  return sides.fault();
}
const auto kSame = [](double mono, double own) { return mono + 0.2 * own; };
const auto kTurned = [](double mono, double own) { return -mono + 0.2 * own; };
const auto kDead = [](double, double own) { return 1e-4 * own; };
const auto kOther = [](double, double own) { return own; };
}  // namespace

TEST_CASE("two good channels, alike or not, are no fault") {
  for (const Channel chosen : {Channel::left, Channel::right, Channel::mix}) {
    CHECK(judged(chosen, kSame, kSame) == SidesFault::none);
    CHECK(judged(chosen, kSame, kOther) == SidesFault::none);
  }
}

TEST_CASE("opposite phase harms the mix alone") {
  CHECK(judged(Channel::mix, kSame, kTurned) == SidesFault::sides_cancel);
  CHECK(judged(Channel::left, kSame, kTurned) == SidesFault::none);
  CHECK(judged(Channel::right, kSame, kTurned) == SidesFault::none);
}

TEST_CASE("a dead side harms whoever listens to it") {
  CHECK(judged(Channel::left, kDead, kSame) == SidesFault::one_sided);
  CHECK(judged(Channel::mix, kDead, kSame) == SidesFault::one_sided);
  CHECK(judged(Channel::right, kDead, kSame) == SidesFault::none);
  CHECK(judged(Channel::right, kSame, kDead) == SidesFault::one_sided);
}

TEST_CASE("silence on both sides and a mono door are no fault of the sides") {
  CHECK(judged(Channel::mix, kDead, kDead) == SidesFault::none);
  Sides mono(48000, 1, Channel::mix);
  mono.process(std::vector<float>(96000, 0.5F));
  CHECK(mono.fault() == SidesFault::none);
}

TEST_CASE("a lone tone that reaches the two microphones in opposite phase over noise that does not is no fault") {
  Sides sides(48000, 2, Channel::mix);
  unsigned a = 1;
  std::vector<float> frames;
  for (int i = 0; i < 96000; ++i) {
    const double tone = 0.1 * std::sin(2 * std::numbers::pi * 300 * i / 48000.0);
    const double hiss = 0.02 * noise(a);
    frames.push_back(static_cast<float>(tone + hiss));
    frames.push_back(static_cast<float>(-tone + hiss));
  }
  sides.process(frames);
  CHECK(sides.fault() == SidesFault::none);
}
