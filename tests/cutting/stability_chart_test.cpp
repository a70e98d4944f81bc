#include "cutting/stability_chart.hpp"

#include <stdexcept>

#include "benchmark_model.hpp"
#include "cutting/chart_table.hpp"
#include "support/catch.hpp"

using namespace hushmill;
using cutting::Milling;

TEST_CASE("A chart is the same on one core and on several") {
  cutting::ChartSettings settings{.rpm_from = 5000, .rpm_to = 11000, .speeds = 17, .threads = 1};
  const cutting::StabilityChart one = cutting::stability_chart(test::benchmark_model(), 5, Milling::climb, settings);
  settings.threads = 3;
  const cutting::StabilityChart three = cutting::stability_chart(test::benchmark_model(), 5, Milling::climb, settings);
  REQUIRE(one.limits.size() == 17);
  REQUIRE(three.limits.size() == 17);
  for (std::size_t i = 0; i < 17; ++i) {
    CHECK(one.limits[i].spindle_rpm == three.limits[i].spindle_rpm);
    CHECK(one.limits[i].depth_mm == three.limits[i].depth_mm);
    CHECK(one.limits[i].chatter_hz == three.limits[i].chatter_hz);
  }
  CHECK(one.limits.front().spindle_rpm == 5000);
  CHECK(one.limits.back().spindle_rpm == 11000);
}

TEST_CASE("A chart reports its progress and stops when told to") {
  double last = 0;
  int calls = 0;
  const cutting::ChartSettings settings{.rpm_from = 5000, .rpm_to = 11000, .speeds = 40, .threads = 2};
  const cutting::StabilityChart stopped =
      cutting::stability_chart(test::benchmark_model(), 10, Milling::climb, settings, [&](double share) {
        CHECK(share > last);
        last = share;
        return ++calls < 4;
      });
  CHECK(calls == 4);
  CHECK_FALSE(stopped.complete);
  CHECK(stopped.limits.size() >= 4);
  CHECK(stopped.limits.size() < 40);
}

TEST_CASE("A chart refuses what makes no sense, naming it") {
  const cutting::CutModel model = test::benchmark_model();
  CHECK_THROWS_WITH(cutting::stability_chart(model, 11, Milling::climb, {}),
                    "radial_mm is 11; 1e-06 to 10 would be right");
  CHECK_THROWS_WITH(cutting::stability_chart(model, 5, Milling::climb, {.rpm_from = 9000, .rpm_to = 8000}),
                    "rpm_to is 8000; 9000 to 200000 would be right");
  CHECK_THROWS_AS(cutting::stability_chart(model, 5, Milling::climb, {.speeds = 0}), std::invalid_argument);
}

TEST_CASE("A callback that throws ends the work and its exception comes through") {
  const cutting::ChartSettings settings{.rpm_from = 5000, .rpm_to = 11000, .speeds = 40, .threads = 3};
  CHECK_THROWS_AS(cutting::stability_chart(test::benchmark_model(), 10, Milling::climb, settings,
                                           [](double) -> bool { throw std::runtime_error("enough"); }),
                  std::runtime_error);
}

TEST_CASE("A chart as text has one line a speed, and empty fields where no limit was found") {
  cutting::StabilityChart chart;
  chart.greatest_depth_mm = 4;
  chart.limits = {
      {.spindle_rpm = 6000, .depth_mm = 1.23456, .open = false, .chatter_hz = 1234.567},
      {.spindle_rpm = 6100.5, .depth_mm = 4, .open = true},
      {.spindle_rpm = 6200, .depth_mm = 2, .chatter_hz = 900, .kind = cutting::ChatterKind::period_doubling}};
  CHECK(cutting::chart_csv(chart, 4) ==
        "spindle_rpm,depth_limit_mm,searched_mm,chatter_hz,kind,tooth_passing_hz\n"
        "6000.0,1.2346,4.0000,1234.57,hopf,400.00\n"
        "6100.5,,4.0000,,,406.70\n"
        "6200.0,2.0000,4.0000,900.00,period_doubling,413.33\n");
}
