// Depth limits over a range of spindle speeds, worked out on several cores.
//
// Reports progress to the calling thread and stops when told to. Throws std::invalid_argument naming the field. Speeds
// are independent of one another, so the answer does not depend on the number of threads.
#pragma once

#include <functional>
#include <vector>

#include "cutting/cut_model.hpp"
#include "cutting/engagement.hpp"
#include "cutting/semi_discretization.hpp"
#include "cutting/stability_limit.hpp"

namespace hushmill::cutting {

enum class StabilityMethod { zero_order, semi_discretization };

struct ChartSettings {
  double rpm_from = 3000;
  double rpm_to = 12000;
  int speeds = 200;  ///< evenly spaced, both ends included
  StabilityMethod method = StabilityMethod::semi_discretization;
  double greatest_depth_mm = 0;  ///< of the search; 0: six times the lowest limit by zero order, at most 50 mm
  double depth_step_mm = 0;      ///< of the search; 0: a fifth of that lowest limit
  int threads = 0;               ///< 0: one a core
  SemiDiscretizationSettings semi_discretization = {};
};

struct StabilityChart {
  std::vector<StabilityLimit> limits;  ///< slowest speed first
  double greatest_depth_mm = 0;        ///< above it nothing was searched
  bool complete = true;                ///< false: stopped; `limits` holds what was done, gaps left out
};

/// `go_on` is called from the calling thread with the share that is done, 0 to 1; false stops the work. May be empty.
StabilityChart stability_chart(const CutModel& model, double radial_mm, Milling milling, const ChartSettings& settings,
                               const std::function<bool(double)>& go_on = {});

}  // namespace hushmill::cutting
