#include "live/trials_kept.hpp"

#include "trial/words.hpp"

namespace hushmill::live {

std::vector<TrialKept> trials_kept(std::span<const trial::Trial> trials) {
  std::vector<TrialKept> kept;
  for (const trial::Trial& trial : trials) {
    if (!(trial.cut_s > 0)) continue;
    TrialKept one{.number = trial.number, .from_s = trial.from_s, .to_s = trial.to_s, .spindle_rpm = trial.spindle_rpm};
    one.outcome = trial::word(trial.outcome);
    one.quiet_s = trial.quiet_s;
    if (trial.chatter_hz > 0) one.chatter_hz = trial.chatter_hz;
    if (trial.compared) {
      one.before_dbfs = trial.compared->before.tone_dbfs;
      one.after_dbfs = trial.compared->after.tone_dbfs;
    } else if (trial.chatter) {
      one.before_dbfs = trial.chatter->tone_dbfs;
    }
    one.text = trial::sentence(trial);
    for (const auto& more : {trial::comparison_words(trial), trial::lap_words(trial)})
      if (!more.empty()) one.text += "; " + more;
    kept.push_back(std::move(one));
  }
  return kept;
}

}  // namespace hushmill::live
