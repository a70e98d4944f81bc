#include "advise/trial_cut.hpp"

#include "advise/benchmark_cut.hpp"
#include "support/catch.hpp"

namespace {

using namespace hushmill::test;

TEST_CASE("the trial cut breaks into chatter at the computed limits") {
  for (const BenchmarkLimit& point : kBenchmarkLimits) {
    CAPTURE(point.engagement, point.climb, point.spindle_rpm);
    const auto chatters = [&](double depth_mm) {
      return run_trial(benchmark_trial(point.engagement, point.climb, depth_mm), point.spindle_rpm, std::nullopt, 1)
          .chatters;
    };
    CHECK_FALSE(chatters(0.95 * point.limit_mm));
    CHECK(chatters(1.05 * point.limit_mm));
  }
}

TEST_CASE("the trial cut sounds at the computed chatter frequency, in noise too") {
  // Computed, at the limit: 942.7 Hz at 5000 rev/min, 930.3 Hz at 10000, full slot.
  CHECK_THAT(run_trial(benchmark_trial(1.0, true, 0.42), 5000, std::nullopt, 1).chatter_hz, WithinRel(942.7, 0.003));
  CHECK_THAT(run_trial(benchmark_trial(1.0, true, 0.42), 5000, 10.0, 1).chatter_hz, WithinRel(942.7, 0.003));
  CHECK_THAT(run_trial(benchmark_trial(1.0, true, 0.33), 10000, std::nullopt, 1).chatter_hz, WithinRel(930.3, 0.003));
}

}  // namespace
