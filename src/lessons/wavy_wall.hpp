// The wavy wall: the surface that one tooth left, the path of the next, and the chip between them, for the present
// speed.
#pragma once

#include <cstdint>
#include <vector>

#include "lessons/controls.hpp"
#include "lessons/ear.hpp"
#include "lessons/lesson.hpp"
#include "lessons/wavy_cut.hpp"

namespace hushmill::lessons {

class WavyWall : public Lesson {
 public:
  enum Turn : std::size_t { spindle_rpm, depth_mm };
  enum Deed : std::size_t { knock, leave_cut };
  static constexpr int kFlutes = 4;

  explicit WavyWall(std::uint64_t seed);
  void process(std::span<float> sound) override;
  bool set(std::size_t control, double value) override;
  bool act(std::size_t deed) override;
  Scene scene() const override;

 private:
  struct Moment {
    double teeth = 0;
    float path_um = 0, wall_um = 0, chip_um = 0;
  };
  struct Pass {             // of one tooth
    double unrepeated = 0;  // sum of squares of path less the path one tooth before
    float least_um = 1e9F, most_um = -1e9F, thinnest_um = 1e9F, thickest_um = 0;
    int moments = 0;
  };
  void keep_moment();
  /// What was then, between the moments by straight lines.
  double at(double teeth, float Moment::*which) const;
  void end_pass();
  Wave wave() const noexcept;
  void look_at_tasks();
  WallPicture picture() const;

  Controls controls_;
  WavyCut cut_;
  Ear ear_;
  rig::Random room_;
  std::uint64_t samples_ = 0;
  bool in_cut_ = true;
  double low_ = 0;            // of the sound's low-pass
  std::vector<Moment> past_;  // the last teeth
  Pass pass_, last_pass_;
  double growth_log_ = 0, unrepeated_um_ = 0;  // of the wave, from tooth to tooth, over some teeth
  int unsettled_passes_ = 0;                   // since a knock or a turn: what changed then is no growth
  double last_difference_ = 0, last_crossing_s_ = 0, wave_hz_ = 0;
  WavyLimit limit_;
  // Knocked at such a speed and depth, and the answers of the three questions.
  double knocked_s_ = -1;
  bool swelled_ = false, died_ = false, deeper_ = false;
  double swelled_rpm_ = 0, swelled_depth_ = 0, swelled_hz_ = 0, deeper_mm_ = 0, deeper_rpm_ = 0;
  std::string died_found_;
};

}  // namespace hushmill::lessons
