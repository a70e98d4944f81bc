// The simulated machine: a time-domain regenerative milling cut and the sound it makes.
//
// Deterministic by seed. `process` allocates nothing and runs many times faster than the sound it makes. The sound is
// `latency_samples` behind the cut (the filter that leaves the inner rate); the truth is not delayed. One thread at a
// time.
#pragma once

#include <cstdint>
#include <memory>
#include <span>

namespace hushmill::rig {

struct RigSettings;

/// Slowest and fastest spindle that the rig turns. The tooth-passing period must also span at least `kStepsPerTooth`
/// inner steps (about 96 000 a second); what is faster is slowed down to that.
inline constexpr double kSlowestRpm = 200;
inline constexpr double kFastestRpm = 60000;
inline constexpr double kStepsPerTooth = 12;

/// What may be turned while it runs. Engagement 0 to 1 of the diameter; depth 0 is an air cut.
struct RigControls {
  double spindle_rpm = 6000;
  double depth_mm = 1.0;
  double radial_mm = 6.0;
  double feed_per_tooth_mm = 0.05;
  bool in_cut = true;  ///< false: the tool leaves the material within about a revolution
};

/// What is true of this moment, for labels and tests; a listener never sees it.
struct RigTruth {
  double spindle_rpm = 0;      ///< the true speed, droop included
  double synchronous_rms = 0;  ///< displacement in step with the rotation, over the last four revolutions, m
  double chatter_rms = 0;      ///< displacement not in step with the rotation, over the same, m: chatter, or in a cut
                               ///< that is not steady the change itself
  double smooth_synchronous_rms = 0;  ///< both for the twin that cannot chatter; 0 without `smooth_twin`
  double smooth_chatter_rms = 0;
  bool teeth_leave_cut = false;  ///< within the last revolution the vibration lifted a tooth out of the cut, as grown
                                 ///< chatter does, and strong forced vibration where the chip is thin
  bool steady = false;    ///< speed, depth, engagement and feed stood still over the last four revolutions: only then
                          ///< does a large chatter_rms alone mean chatter
  bool chatters = false;  ///< with the twin: out-of-step energy beyond the twin's is more than 20 % of the energy in
                          ///< step, or teeth leave the cut while the vibration is more than twice the twin's (chatter
                          ///< may settle on a multiple of the rotation, as period doubling of an even number of flutes
                          ///< always does); holds in entries, corners and changes of speed. Without the twin: more than
                          ///< 20 % out of step in a steady cut, blind to all of these
  double depth_mm = 0;    ///< axial depth now: 0 out of the cut
  double arc_deg = 0;     ///< width of the engaged arc now; the path moves it
};

class Rig {
 public:
  /// Throws std::invalid_argument naming the field when a setting makes no sense.
  explicit Rig(const RigSettings& settings);
  ~Rig();
  Rig(Rig&&) noexcept;
  Rig& operator=(Rig&&) noexcept;

  /// The next samples of the microphone, full scale ±1, always finite. Any number of samples: how they are cut into
  /// calls changes nothing.
  void process(std::span<float> sound) noexcept;
  /// Turns the knobs from the next sample on; spindle and slides take their own time to follow. Values out of range are
  /// held at the nearest that is in range, those that are not numbers are ignored.
  void turn(const RigControls& controls) noexcept;

  RigTruth truth() const noexcept;
  const RigControls& controls() const noexcept;
  double sample_rate_hz() const noexcept;
  int latency_samples() const noexcept;

 private:
  struct Parts;
  std::unique_ptr<Parts> parts_;
};

}  // namespace hushmill::rig
