#include "live/trials_kept.hpp"

#include <algorithm>

#include "live/session_trials.hpp"

namespace hushmill::live {

std::vector<TrialKept> trials_kept(const listen::Findings& findings) {
  std::vector<TrialKept> trials;
  for (const listen::SpeedStretch& stretch : findings.stretches) {
    double in_cut_s = 0, sang_s = 0;
    for (const listen::Cut& cut : findings.cuts) {
      in_cut_s += std::max(0.0, std::min(cut.end_s, stretch.to_s) - std::max(cut.start_s, stretch.from_s));
    }
    if (!(in_cut_s > 0)) continue;
    TrialKept trial{.from_s = stretch.from_s, .to_s = stretch.to_s, .spindle_rpm = stretch.entered_rpm};
    bool returned = false;
    for (const listen::Episode& episode : findings.episodes) {
      if (episode.alert_s < stretch.from_s || episode.alert_s >= stretch.to_s) continue;
      sang_s += std::min(episode.end_s, stretch.to_s) - episode.start_s;
      trial.chatter_hz = episode.chatter_hz;
      trial.before_dbfs = std::max(episode.peak_dbfs, trial.before_dbfs.value_or(-200));
      returned = returned || episode.return_of.has_value();
    }
    trial.quiet_s = std::max(0.0, in_cut_s - sang_s);
    trial.outcome = returned             ? "returned"
                    : trial.chatter_hz   ? "chattered"
                    : in_cut_s >= kProofS ? "held"
                                          : "not_enough";
    trials.push_back(std::move(trial));
  }
  return trials;
}

}  // namespace hushmill::live
