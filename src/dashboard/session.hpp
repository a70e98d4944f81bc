// What the screen remembers of the session: which verdict held when and at which entered speed, and how each speed
// fared. Fed with states as they come, with stream times; bounded in memory. A stream that starts again starts a new
// session; a changed set-up (depth, width, flutes …) forgets how the speeds fared, for they were tried on another cut.
#pragma once

#include <optional>
#include <vector>

#include "dashboard/trend.hpp"
#include "live/state.hpp"

namespace hushmill::dashboard {

/// A stretch of one verdict at one entered speed.
struct Segment {
  double from_s = 0;
  double to_s = 0;
  listen::Verdict verdict = listen::Verdict::no_cut;
  double entered_rpm = 0;
  bool doubted = false;  ///< steady at a speed that chattered on this cut: quiet now, and no proof of anything
};

/// How a speed fared so far in this session.
struct SpeedTried {
  double entered_rpm = 0;
  double quiet_cut_s = 0;      ///< time in the cut without chatter
  double quiet_run_s = 0;      ///< the same since the last chatter at this speed
  int episodes = 0;            ///< that began at this speed
  bool returned = false;       ///< chatter came back here after it had gone quiet
  double last_chatter_hz = 0;  ///< 0: never

  /// Less than `kProofS` of quiet cut is no proof of anything, so there may be no outcome yet.
  bool has_outcome() const noexcept { return episodes > 0 || quiet_cut_s >= kProofS; }
  advise::Outcome outcome() const noexcept;
  /// Chatter was heard here and nothing since has shown it gone: it came back, or the quiet is short yet.
  bool unanswered() const noexcept { return episodes > 0 && (returned || quiet_run_s < kAnsweredS); }

  static constexpr double kAnsweredS = 10;  ///< our choice: longer than most laps round a pocket take between corners
  static constexpr double kProofS = 3;      ///< our choice: long enough for some passes of a corner
};

/// Badness of a verdict, for when two share a pixel: no_cut < steady < forced_vibration < building < chatter.
int badness(listen::Verdict verdict) noexcept;

class Session {
 public:
  void add(const live::State& state);

  const std::vector<Segment>& segments() const noexcept { return segments_; }
  const std::vector<SpeedTried>& speeds() const noexcept { return speeds_; }
  double from_s() const noexcept { return segments_.empty() ? 0 : segments_.front().from_s; }
  double to_s() const noexcept { return to_s_; }
  /// Entered speed at which chatter was heard last: at its onset, or where it went on after the speed was turned; 0
  /// when there was none.
  double chattered_rpm() const noexcept { return chattered_rpm_; }
  /// How a speed within half a percent of this one fared, or null.
  const SpeedTried* tried(double rpm) const noexcept;
  /// The speed or the cut was changed so lately that what still sounds is of the one before.
  bool turning() const noexcept { return to_s_ < counts_from_s_ && !segments_.empty(); }
  /// How the present chatter's level moves.
  const Trend& trend() const noexcept { return trend_; }
  /// The advice to show at this state: its own, or, while a new answer is being worked out, the last one for the same
  /// speed and cut; null when there is none.
  const advise::Advice* advice_for(const live::State& state) const noexcept;

 private:
  /// What the speeds were tried on.
  struct SetUp {
    int flutes = 0;
    std::optional<double> diameter_mm, radial_mm, depth_mm, rig_radial_mm, rig_depth_mm, rig_feed_mm;
    std::optional<advise::Milling> milling;
    bool operator==(const SetUp&) const = default;
  };
  static SetUp set_up_of(const live::State& state);

  SpeedTried& speed(double entered_rpm);
  void thin_out();
  void keep_advice(const live::State& state);
  void chattered_at(double entered_rpm, double chatter_hz, bool returned);

  static constexpr std::size_t kMostSegments = 4096;
  static constexpr double kSpindleSettlesS = 2;  // by then a spindle has followed its knob and the sound has told so
  static constexpr double kCutSettlesS = 0.5;    // another depth is cut within a few revolutions
  std::vector<Segment> segments_;
  std::vector<SpeedTried> speeds_;
  double to_s_ = 0;
  std::optional<SetUp> set_up_;
  /// The set-up before, should it be typed back at once: its speeds, and where it chattered.
  struct Aside {
    SetUp set_up;
    std::vector<SpeedTried> speeds;
    double chattered_rpm = 0, at_s = 0;
  };
  std::optional<Aside> aside_;
  void change_set_up(const SetUp& now_set, double t_s);
  double newest_episode_s_ = -1;
  double chattered_rpm_ = 0;
  double speed_rpm_ = 0;      ///< entered now
  Trend trend_;
  std::optional<advise::Advice> advice_;  ///< the last that named a speed
  double advice_rpm_ = 0;                 ///< entered when it was given
  double counts_from_s_ = 0;  ///< chatter that still goes on then is chatter of this speed and set-up
};

}  // namespace hushmill::dashboard
