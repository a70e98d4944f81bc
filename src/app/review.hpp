// Runs a recording through the engine as fast as it goes and collects what `hushmill review` reports.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "advise/advice.hpp"
#include "app/cut_options.hpp"
#include "app/trial_options.hpp"
#include "capture/channel.hpp"
#include "capture/source.hpp"
#include "listen/findings.hpp"
#include "trial/speed_table.hpp"

namespace hushmill::app {

struct Review {
  std::string file;
  double sample_rate_hz = 0;
  double duration_s = 0;
  double entered_rpm = 0;
  std::optional<double> measured_rpm;
  std::optional<double> rpm_uncertainty;
  double tooth_passing_hz = 0;
  listen::Verdict verdict = listen::Verdict::no_cut;
  listen::Findings findings;
  advise::Advice advice;
  std::vector<trial::Trial> trials;  ///< one for each stretch of entered speed; the whole stretch is taken as the pass
  trial::SpeedTable speeds;
  std::string beyond;  ///< the last speed is beyond a limit that was entered; empty when it is not
  bool inches = false;  ///< feeds are written in inches a minute
};

/// Reads `source` to its end. Throws UsageError when it is shorter than ten revolutions or `--rpm-at` or `--tag` lies behind its end.
Review review(capture::Source& source, const std::string& file, const CutOptions& cut, const TrialOptions& trials = {});

/// Advice for an episode of chatter in a stretch of speed, with the other speeds of `findings` as trials, in terms of what is entered at the control: if the spindle
/// turns slower than it says, the S word is higher by the same share.
advise::Advice advice_for(const CutOptions& cut, const listen::SpeedStretch& stretch, const listen::Episode& episode,
                          const listen::Findings& findings);

}  // namespace hushmill::app
