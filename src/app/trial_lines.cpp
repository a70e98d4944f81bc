#include "app/trial_lines.hpp"

#include <fmt/format.h>

#include <array>
#include <cmath>

#include "app/json.hpp"
#include "app/trial_json.hpp"
#include "app/trial_text.hpp"
#include "trial/words.hpp"

namespace hushmill::app {

namespace {
constexpr double kLookEveryS = 0.1;
constexpr double kThenEveryS = 60;
constexpr double kSameSpeed = 0.005;

// After how much quiet cut a line is worth printing: at first, when the hold is met, then more and more seldom.
double next_told(double told_s, double hold_s) {
  for (const double step_s : {1.0, hold_s, 10.0, 30.0, 60.0})
    if (step_s > told_s) return step_s;
  return told_s + kThenEveryS;
}

Json event_json(double t_s, const char* event) { return Json{{"t_s", std::round(t_s * 1e4) / 1e4}, {"event", event}}; }
}  // namespace

void TrialLines::say_ended(std::vector<std::string>& lines) {
  for (; ended_ < book_.ended(); ++ended_) {
    if (ended_ < book_.forgotten()) continue;
    const trial::Trial& trial = book_.ended(ended_);
    if (!json_) {
      // As a review tells it, set under the time.
      std::string text = to_text(trial);
      text.pop_back();
      for (auto at = text.find('\n'); at != std::string::npos; at = text.find('\n', at + 1)) text.insert(at + 1, "       ");
      lines.push_back(fmt::format("{:8.2f} s  trial{}", listener_.snapshot().t_s, text.substr(1)));
      continue;
    }
    Json line = event_json(listener_.snapshot().t_s, "trial_ends");
    line.update(to_json(trial));
    lines.push_back(dump(line, -1));
  }
}

void TrialLines::say_begun(std::vector<std::string>& lines) {
  const auto& stretches = listener_.findings().stretches;
  for (; stretches_ < stretches.size(); ++stretches_) {
    const auto& stretch = stretches[stretches_];
    if (json_) {
      Json line = event_json(listener_.snapshot().t_s, "speed_entered");
      line["spindle_rpm"] = stretch.entered_rpm;
      lines.push_back(dump(line, -1));
    } else {
      lines.push_back(fmt::format("{:8.2f} s  speed entered: {:.0f} rev/min; a new trial, after a second of settling", stretch.from_s, stretch.entered_rpm));
    }
  }
}

void TrialLines::say_quiet(std::vector<std::string>& lines) {
  const double now_s = listener_.snapshot().t_s;
  if (now_s - looked_s_ < kLookEveryS) return;
  looked_s_ = now_s;
  const auto trial = book_.running(listener_.findings());
  if (!trial) return;
  if (trial->from_s != trial_from_s_ || trial->quiet_run_s < told_quiet_s_) told_quiet_s_ = 0;
  trial_from_s_ = trial->from_s;
  // A cut that never chattered needs no proof that it went quiet.
  if (!trial->was_chattering && trial->chatter_hz == 0) return;
  const double step_s = next_told(told_quiet_s_, trial->wanted_s);
  if (trial->quiet_run_s < step_s) return;
  told_quiet_s_ = step_s;
  if (json_) {
    Json line = event_json(now_s, "quiet_so_far");
    line["quiet_run_s"] = std::round(trial->quiet_run_s * 10) / 10;
    line["outcome"] = trial::word(trial->outcome);
    lines.push_back(dump(line, -1));
  } else {
    lines.push_back(fmt::format("{:8.2f} s  S{:.0f}: {}", now_s, trial->spindle_rpm, trial::sentence(*trial)));
  }
}

// A knob that was turned without a word. What the listener itself says of other speeds is an event of its own.
void TrialLines::say_turned(std::vector<std::string>& lines) {
  const auto& findings = listener_.findings();
  const auto heard = findings.other_fit ? std::nullopt : book_.heard_instead(findings);
  const double rpm = heard ? heard->spindle_rpm : 0;
  if (std::abs(rpm - told_heard_rpm_) < kSameSpeed * rpm) return;
  told_heard_rpm_ = rpm;
  if (!heard) return;
  if (json_) {
    Json line = event_json(listener_.snapshot().t_s, word(listen::EventKind::other_speed_fits).data());
    line["spindle_rpm"] = std::round(heard->spindle_rpm);
    line["flutes"] = heard->flutes;
    lines.push_back(dump(line, -1));
  } else {
    lines.push_back(fmt::format("{:8.2f} s  the sound fits {:.0f} rev/min, not S{:.0f}: was the knob turned? What was entered is no longer judged", listener_.snapshot().t_s,
                                heard->spindle_rpm, listener_.snapshot().entered_rpm));
  }
}

std::vector<std::string> TrialLines::take() {
  std::vector<std::string> lines;
  say_turned(lines);
  say_begun(lines);
  say_ended(lines);
  say_quiet(lines);
  return lines;
}

}  // namespace hushmill::app
