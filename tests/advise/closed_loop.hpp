// Follow the advice on simulated cuts: does the chatter go away, and in how many tries?
//
// Random set-ups by fixed seed, drawn from other distributions than the adviser's own guesses. Every speed tried is a
// fresh run of the time-domain cut; the adviser only ever sees the frequency heard.
#pragma once

#include <array>
#include <cstdint>
#include <map>
#include <optional>
#include <vector>

#include "advise/advice.hpp"
#include "advise/trial_cut.hpp"

namespace hushmill::test {

struct Scene {
  TrialCut cut;
  double programmed_rpm = 0;  ///< at which it chatters
  double min_rpm = 0;
  double max_rpm = 0;
  bool told_engagement = false;  ///< radial width, climb or conventional, diameter given to the adviser
  bool tapped = false;           ///< a tap test of the main modes, half a percent off, given to the adviser, too
  double speed_error = 0;        ///< relative error of the speed that the adviser is told
  std::optional<double> noise_db;
  std::uint32_t seed = 0;
};

/// Set-ups that chatter at their programmed speed.
std::vector<Scene> draw_scenes(int count, std::uint32_t seed);

/// One scene with a memory of what was run.
class Machine {
 public:
  explicit Machine(const Scene& scene) : scene_(scene) {}
  const TrialSound& run(double spindle_rpm);
  const Scene& scene() const noexcept { return scene_; }

 private:
  const Scene& scene_;
  std::map<int, TrialSound> known_;  ///< by tenths of a rev/min
};

/// Which speeds can be set: 0 types the S word, else steps of the knob in percent, 50 to 150 % (common practice).
struct Reach {
  double step_percent = 0;
  std::vector<double> speeds(const Scene& scene) const;
  double nearest(const Scene& scene, double spindle_rpm) const;
};

/// What became of following the adviser.
struct Followed {
  struct Call {
    double rpm = 0;
    double likelihood = 0;  ///< as called
    bool quiet = false;     ///< as it turned out
  };
  int tries = 0;  ///< until quiet; 0 when it never was
  std::vector<Call> calls;
  std::vector<Call> candidates;  ///< all that the first advice listed, each run; filled when asked for
  bool gave_up = false;          ///< it said, at some try, that speed alone will probably not do
};
Followed follow_adviser(Machine& machine, const Reach& reach, int most, bool run_candidates = false);

/// Number of tries until quiet, 1 to `most`; 0 when it never was.
int tries_of_minus_ten(Machine& machine, const Reach& reach, int most);
int tries_of_plain_rule(Machine& machine, const Reach& reach, int most);
/// The speed in the middle of the widest quiet stretch of all that can be set; none when every one chatters.
std::optional<double> all_knowing(Machine& machine, const Reach& reach);

}  // namespace hushmill::test
