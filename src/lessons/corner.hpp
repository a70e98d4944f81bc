// The corner: a pocket with sharp inside corners against one of constant engagement. What is quiet along the wall may
// come back in every corner of every lap.
#pragma once

#include <cstdint>
#include <memory>
#include <string>
#include <vector>

#include "lessons/controls.hpp"
#include "lessons/cut_bench.hpp"
#include "lessons/lesson.hpp"

namespace hushmill::lessons {

class Corner : public Lesson {
 public:
  enum Turn : std::size_t { which_path, spindle_rpm };
  enum Deed : std::size_t { begin_again };

  explicit Corner(std::uint64_t seed);
  void process(std::span<float> sound) override;
  bool set(std::size_t control, double value) override;
  bool act(std::size_t deed) override;
  Scene scene() const override;

 private:
  /// Where the tool was at a moment, for the engine's times.
  struct Place {
    double t_s = 0, travelled_mm = 0;
  };
  void begin_pocket();
  void follow(std::size_t samples);
  void look_at_tasks();
  double lap_mm() const noexcept;
  double travelled_at(double t_s) const noexcept;
  std::vector<CornerPicture::Spot> spots() const;
  int chatters_in_lap(int lap) const;
  std::string same_speed_hint(int laps) const;
  bool even() const noexcept { return controls_.choice(which_path) == 1; }

  std::uint64_t seed_;
  Controls controls_;
  std::unique_ptr<CutBench> bench_;
  double earlier_s_ = 0;
  double travelled_mm_ = 0;
  std::vector<Place> places_;
  double returned_rpm_ = 0;
  bool returned_ = false, held_ = false, other_speed_ = false;
  std::string returned_found_, held_found_, speed_found_;
};

}  // namespace hushmill::lessons
