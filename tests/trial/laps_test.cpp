#include "trial/laps.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

#include "support/catch.hpp"
#include "support/chance.hpp"

using namespace hushmill;
using test::WithinRel;

namespace {

/// Corners `gaps_s` apart, over and over, each at a moment that varies by `jitter` of the shortest gap.
std::vector<double> laps_of(const std::vector<double>& gaps_s, std::size_t count, double jitter, test::Chance& chance) {
  const double shortest_s = *std::min_element(gaps_s.begin(), gaps_s.end());
  std::vector<double> onsets_s;
  double at_s = chance.uniform(1, 5);
  for (std::size_t i = 0; i < count; ++i) {
    onsets_s.push_back(at_s + jitter * shortest_s * chance.normal());
    at_s += gaps_s[i % gaps_s.size()];
  }
  return onsets_s;
}

/// Chatter at moments that have nothing to do with each other, at least as far apart as the engine tells two chatters.
std::vector<double> at_random(std::size_t count, double mean_gap_s, test::Chance& chance) {
  constexpr double kLeastGapS = 0.5;
  std::vector<double> onsets_s;
  double at_s = 0;
  for (std::size_t i = 0; i < count; ++i) {
    at_s += kLeastGapS - (mean_gap_s - kLeastGapS) * std::log(1 - chance.uniform());
    onsets_s.push_back(at_s);
  }
  return onsets_s;
}

}  // namespace

TEST_CASE("returns lap after lap are recognised, with their period and its spread, when each comes a little early or late") {
  int missed = 0;
  for (std::uint64_t seed = 1; seed <= 300; ++seed) {
    test::Chance chance(seed);
    const double period_s = chance.uniform(1.2, 20);
    const auto onsets_s = laps_of({period_s}, 6, 0.03, chance);
    const auto laps = trial::find_laps(onsets_s);
    if (!laps) {
      ++missed;
      continue;
    }
    CHECK(laps->per_period == 1);
    CHECK_THAT(laps->period_s, WithinRel(period_s, 0.05));
    CHECK(laps->spread_s < 0.12 * period_s);
  }
  CHECK(missed <= 3);
}

TEST_CASE("a jitter of three percent spreads the single period by its square root of two") {
  // Derived: the difference of two independent moments spreads by sqrt(2) of one.
  double sum = 0;
  for (std::uint64_t seed = 1; seed <= 200; ++seed) {
    test::Chance chance(seed);
    const auto laps = trial::find_laps(laps_of({5}, 20, 0.03, chance));
    REQUIRE(laps);
    sum += laps->spread_s * laps->spread_s;
  }
  CHECK_THAT(std::sqrt(sum / 200), WithinRel(5 * 0.03 * std::sqrt(2.0), 0.1));
}

TEST_CASE("a corner that is skipped now and then does not hide the laps") {
  const std::vector<double> onsets_s{2, 5.1, 8, 14.05, 17, 20};
  const auto laps = trial::find_laps(onsets_s);
  REQUIRE(laps);
  CHECK_THAT(laps->period_s, WithinRel(3.0, 0.02));
}

TEST_CASE("several corners that are not evenly apart make one lap") {
  test::Chance chance(7);
  const auto two = trial::find_laps(laps_of({1.0, 3.0}, 8, 0.01, chance));
  REQUIRE(two);
  CHECK(two->per_period == 2);
  CHECK_THAT(two->period_s, WithinRel(4.0, 0.01));
  const auto three = trial::find_laps(laps_of({1.0, 3.0, 2.0}, 12, 0.01, chance));
  REQUIRE(three);
  CHECK(three->per_period == 3);
  CHECK_THAT(three->period_s, WithinRel(6.0, 0.01));
}

TEST_CASE("three returns are too few, whatever they look like") {
  CHECK_FALSE(trial::find_laps(std::vector<double>{1, 2, 3}));
  CHECK_FALSE(trial::find_laps(std::vector<double>{}));
}

TEST_CASE("chatter at random moments is seldom taken for laps") {
  for (const std::size_t count : {4U, 5U, 6U, 8U, 12U, 20U}) {
    int taken = 0;
    constexpr int kSeries = 2000;
    for (int seed = 1; seed <= kSeries; ++seed) {
      test::Chance chance(static_cast<std::uint64_t>(seed) * 31 + count);
      if (trial::find_laps(at_random(count, 4, chance))) ++taken;
    }
    INFO(count << " times: " << taken << " of " << kSeries);
    CHECK(taken <= kSeries / 50);
  }
}
