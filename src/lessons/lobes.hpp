// The lobes: walk the stability chart with speed and depth in hand, hear each point, leave marks that the engine
// judges.
#pragma once

#include <cstdint>
#include <vector>

#include "lessons/controls.hpp"
#include "lessons/cut_bench.hpp"
#include "lessons/lesson.hpp"

namespace hushmill::lessons {

class Lobes : public Lesson {
 public:
  enum Turn : std::size_t { spindle_rpm, depth_mm };
  enum Deed : std::size_t { leave_mark, wipe_marks };

  explicit Lobes(std::uint64_t seed);
  void process(std::span<float> sound) override;
  bool set(std::size_t control, double value) override;
  bool act(std::size_t deed) override;
  Scene scene() const override;

  /// Depth limit of the chart, between its points by straight lines.
  double limit_mm(double spindle_rpm) const noexcept;

 private:
  void judge_marks();
  void look_at_tasks();

  Controls controls_;
  CutBench bench_;
  std::vector<ChartPoint> limit_, marks_;
  bool fenced_ = false, deeper_ = false, between_ = false;
  ChartPoint fence_quiet_, fence_chatters_, deeper_at_, low_, middle_, high_;
};

}  // namespace hushmill::lessons
