// Lower or higher: three chattering cuts and a knob with steps. In the first, quiet lies both ways; in the second, a
// long slender tool, only higher; in the third nowhere, and a shorter tool, a stiffer hold or unequal flutes must do
// it.
#pragma once

#include <array>
#include <cstdint>
#include <memory>
#include <vector>

#include "lessons/controls.hpp"
#include "lessons/cut_bench.hpp"
#include "lessons/lesson.hpp"

namespace hushmill::lessons {

class LowerOrHigher : public Lesson {
 public:
  enum Turn : std::size_t { which_cut, percent, stand };
  enum Deed : std::size_t { cut_afresh };
  static constexpr std::size_t kCuts = 3, kStands = 4;

  explicit LowerOrHigher(std::uint64_t seed);
  void process(std::span<float> sound) override;
  bool set(std::size_t control, double value) override;
  bool act(std::size_t deed) override;
  Scene scene() const override;

 private:
  void begin_cut();
  void keep_outcome();
  void look_at_tasks();
  std::vector<KnobStep>& steps(std::size_t cut, std::size_t one) { return tried_[cut * kStands + one]; }
  const std::vector<KnobStep>& steps(std::size_t cut, std::size_t one) const { return tried_[cut * kStands + one]; }

  std::uint64_t seed_;
  Controls controls_;
  std::array<std::vector<KnobStep>, kCuts * kStands> tried_;
  std::unique_ptr<CutBench> bench_;
  double earlier_s_ = 0;  // of cuts before this one
  bool both_ways_ = false, only_higher_ = false, not_by_speed_ = false;
  std::string both_found_, higher_found_, cures_found_;
};

/// The cut as it is set up: for tests and charts.
rig::RigSettings knob_cut(std::size_t cut, std::size_t one);

}  // namespace hushmill::lessons
