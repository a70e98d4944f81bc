#include "listen/family_spacing.hpp"

#include <vector>

#include "support/catch.hpp"

using namespace hushmill;
using test::WithinAbs;

namespace {
constexpr double kSpacingBinHz = 4.4;
constexpr double kChatterHz = 1187;

listen::Comb comb(double tooth_hz) { return {tooth_hz / 4, 4, 2e-4, true}; }

// Teeth and family of chatter at kChatterHz, every line 20 dB over the background. Invented.
std::vector<signal::Line> singing(double tooth_hz) {
  std::vector<signal::Line> lines;
  const auto add = [&](double hz, double power) {
    signal::Line line;
    line.hz = hz;
    line.power = power;
    line.over = 100;
    lines.push_back(line);
  };
  add(kChatterHz, 1);
  for (const int k : {1, 2, 4}) add(k * tooth_hz, 0.01);
  for (const int k : {1, 2, 3}) add(kChatterHz + k * tooth_hz, 0.05 / k);
  for (const int k : {1, 2, 4, 5}) add(std::abs(kChatterHz - k * tooth_hz), 0.04 / k);
  return lines;
}
}  // namespace

TEST_CASE("a spindle that sags by a percent under chatter is found by the distances within the family") {
  for (const double factor : {0.989, 0.994, 1.007}) {
    listen::FamilySpacing spacing;
    const auto lines = singing(400 * factor);
    CHECK_FALSE(spacing.process(lines, kSpacingBinHz, kChatterHz, comb(400)));  // one look is not enough
    const auto moved = spacing.process(lines, kSpacingBinHz, kChatterHz, comb(400));
    REQUIRE(moved);
    CHECK_THAT(*moved, WithinAbs(factor, 4e-4));
  }
}

TEST_CASE("a comb that is right stays, and so it does where nothing of a family is heard") {
  listen::FamilySpacing spacing;
  for (int look = 0; look < 4; ++look) CHECK_FALSE(spacing.process(singing(400), kSpacingBinHz, kChatterHz, comb(400)));
  // Tones with no common spacing.
  std::vector<signal::Line> tones = singing(400);
  const double hz[] = {1187, 233, 517, 871, 1423, 1669, 2011, 2377, 2749, 3119, 3593};
  for (std::size_t i = 0; i < tones.size(); ++i) tones[i].hz = hz[i];
  for (int look = 0; look < 4; ++look) CHECK_FALSE(spacing.process(tones, kSpacingBinHz, kChatterHz, comb(400)));
  for (int look = 0; look < 4; ++look) CHECK_FALSE(spacing.process({}, kSpacingBinHz, kChatterHz, comb(400)));
}
