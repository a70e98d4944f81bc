#include "live/session_trials.hpp"

#include <algorithm>
#include <cmath>

namespace hushmill::live {
namespace {

constexpr double kSameSpeed = 0.005;  // relative
constexpr double kSettleS = 1.0;      // a spindle follows its override within about a second

bool same(double a_rpm, double b_rpm) { return std::abs(a_rpm / b_rpm - 1) < kSameSpeed; }

double overlap_s(double from_s, double to_s, double other_from_s, double other_to_s) {
  return std::max(0.0, std::min(to_s, other_to_s) - std::max(from_s, other_from_s));
}

// A speed with all its stretches.
struct Tally {
  advise::Trial trial;
  double quiet_s = 0;
  bool chattered = false;
};

void add_stretch(const listen::Findings& findings, const listen::SpeedStretch& stretch, double since_s, Tally& tally) {
  const double from_s = std::max(stretch.from_s + kSettleS, since_s);
  for (const listen::Cut& cut : findings.cuts) tally.quiet_s += overlap_s(from_s, stretch.to_s, cut.start_s, cut.end_s);
  for (const listen::Episode& episode : findings.episodes) {
    tally.quiet_s -= overlap_s(from_s, stretch.to_s, episode.start_s, episode.end_s);
    // Raised here, or gone on here after the spindle had settled.
    const bool raised = episode.alert_s >= std::max(stretch.from_s, since_s) && episode.alert_s <= stretch.to_s;
    const bool went_on = episode.start_s < from_s && episode.end_s > from_s + kSettleS && episode.start_s < stretch.to_s;
    if (!raised && !went_on) continue;
    tally.trial.outcome =
        tally.chattered || episode.return_of ? advise::Outcome::returned : advise::Outcome::chattered;
    tally.chattered = true;
    // The same count of waves per tooth, seen at the entered speed. The tone of an episode is that of its beginning.
    if (raised && episode.chatter_hz > 0)
      tally.trial.chatter_hz =
          episode.chatter_hz * stretch.entered_rpm / stretch.measured_rpm.value_or(stretch.entered_rpm);
  }
}

}  // namespace

std::vector<advise::Trial> trials_from(const listen::Findings& findings, double since_s, double except_rpm) {
  std::vector<Tally> tallies;
  for (const listen::SpeedStretch& stretch : findings.stretches) {
    if (stretch.to_s <= since_s || !(stretch.entered_rpm > 0) || same(stretch.entered_rpm, except_rpm)) continue;
    auto tally = std::find_if(tallies.begin(), tallies.end(),
                              [&](const Tally& t) { return same(t.trial.spindle_rpm, stretch.entered_rpm); });
    if (tally == tallies.end()) tally = tallies.insert(tallies.end(), Tally{{stretch.entered_rpm, {}, {}}, 0, false});
    add_stretch(findings, stretch, since_s, *tally);
  }
  std::vector<advise::Trial> trials;
  for (Tally& tally : tallies) {
    if (!tally.chattered) tally.trial.outcome = advise::Outcome::held;
    if (tally.chattered || tally.quiet_s >= kProofS) trials.push_back(tally.trial);
  }
  return trials;
}

}  // namespace hushmill::live
