#include "live/session_trials.hpp"

#include <algorithm>
#include <cmath>

#include "trial/judge.hpp"

namespace hushmill::live {
namespace {

constexpr double kSameSpeed = 0.005;  // relative
constexpr double kAgrees = 0.02;      // a spindle is at most this far off what is shown

bool same(double a_rpm, double b_rpm) { return std::abs(a_rpm / b_rpm - 1) < kSameSpeed; }

// A speed with all its stretches.
struct Tally {
  advise::Trial trial;
  double quiet_s = 0;
  bool chattered = false;
};

void add(const trial::Trial& judged, Tally& tally) {
  if (judged.proves_quiet()) tally.quiet_s += judged.quiet_s;
  const bool returned = judged.outcome == trial::Outcome::returned;
  if (!returned && judged.outcome != trial::Outcome::chattered) return;
  tally.trial.outcome = tally.chattered || returned ? advise::Outcome::returned : advise::Outcome::chattered;
  tally.chattered = true;
  // The same count of waves per tooth, seen at the entered speed. Chatter that only went on here has the tone of its beginning.
  if (judged.raised_hz) tally.trial.chatter_hz = *judged.raised_hz * judged.spindle_rpm / judged.measured_rpm.value_or(judged.spindle_rpm);
}

}  // namespace

const listen::SpeedStretch& chattered_at(const listen::Findings& findings, const listen::Episode& episode) {
  const listen::SpeedStretch* found = &findings.stretches.front();
  for (const listen::SpeedStretch& stretch : findings.stretches) {
    const double end_s = episode.open ? std::max(episode.end_s, findings.stretches.back().to_s) : episode.end_s;
    const double there_s = std::max(stretch.from_s, stretch.arrived_s.value_or(stretch.from_s));
    if (stretch.from_s <= episode.alert_s || end_s > there_s + kGoesOnS) found = &stretch;
  }
  return *found;
}

std::vector<advise::Trial> trials_from(const listen::Findings& findings, double since_s, double except_rpm) {
  std::vector<Tally> tallies;
  for (const listen::SpeedStretch& heard : findings.stretches) {
    const bool told = heard.to_s > std::max(heard.from_s, since_s) && heard.entered_rpm > 0;
    if (!told || same(heard.entered_rpm, except_rpm)) continue;
    trial::Stretch stretch;
    stretch.from_s = std::max(heard.from_s, since_s);
    stretch.to_s = heard.to_s;
    stretch.first = &heard == &findings.stretches.front() && since_s <= heard.from_s;
    stretch.set_up_since_s = since_s;
    stretch.spindle_rpm = heard.entered_rpm;
    stretch.measured_rpm = heard.measured_rpm;
    stretch.speed_heard = heard.measured_rpm && std::abs(*heard.measured_rpm / heard.entered_rpm - 1) <= kAgrees;
    stretch.arrived_s = heard.arrived_s;
    stretch.chatter_hz = heard.chatter_hz;
    auto tally = std::find_if(tallies.begin(), tallies.end(),
                              [&](const Tally& t) { return same(t.trial.spindle_rpm, heard.entered_rpm); });
    if (tally == tallies.end()) tally = tallies.insert(tallies.end(), Tally{{heard.entered_rpm, {}, {}}, 0, false});
    add(trial::judge(stretch, findings, {}), *tally);
  }
  std::vector<advise::Trial> trials;
  for (Tally& tally : tallies) {
    if (!tally.chattered) tally.trial.outcome = advise::Outcome::held;
    if (tally.chattered || tally.quiet_s >= kProofS) trials.push_back(tally.trial);
  }
  return trials;
}

}  // namespace hushmill::live
