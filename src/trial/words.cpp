#include "trial/words.hpp"

#include <fmt/format.h>

#include <cmath>

namespace hushmill::trial {
namespace {

std::string times(std::size_t count) { return count == 1 ? "once" : count == 2 ? "twice" : std::to_string(count) + " times"; }

std::string wanted(const Trial& trial) {
  const bool longer = trial.quiet_s < trial.wanted_s;
  const bool pass = trial.pass_needed && trial.passes == 0;
  if (!longer && !trial.speed_heard) return fmt::format("S{:.0f} was not heard yet; check what was entered", trial.spindle_rpm);
  if (longer && pass) return fmt::format("{:.3g} s of cut and a marked lap or pass are wanted", trial.wanted_s);
  if (longer) return fmt::format("{:.3g} s of cut are wanted", trial.wanted_s);
  if (pass) return "a marked lap or pass is wanted";
  return {};
}

std::string not_enough(const Trial& trial) {
  if (!(trial.cut_s > 0)) return "not enough cut to tell: none after the settling";
  if (!trial.speed_heard && trial.believed() && trial.quiet_s >= trial.wanted_s)
    return fmt::format("not to be told: quiet for {:.1f} s of cut, but S{:.0f} was not heard in it; check what was entered", trial.quiet_s, trial.spindle_rpm);
  std::string text = fmt::format("not enough cut to tell: {:.1f} s quiet", trial.quiet_s);
  if (const auto what = wanted(trial); !what.empty()) text += "; " + what;
  return text;
}

std::string came_back(const Trial& trial) {
  const Return& first = trial.returns.front();
  std::string text = fmt::format("came back: quiet for {:.1f} s of cut, then {:.0f} Hz again at {:.2f} s for {:.1f} s", first.after_quiet_s, first.chatter_hz, first.at_s, first.for_s);
  if (trial.returns.size() > 1) text += ", " + times(trial.returns.size()) + " in all";
  return text;
}

std::string so_far(const Trial& trial) {
  if (trial.judged_from_s >= trial.to_s) return "settling";
  switch (trial.outcome) {
    case Outcome::returned: return came_back(trial);
    case Outcome::chattered: {
      std::string text = fmt::format("chattered, {:.0f} Hz", trial.chatter_hz);
      if (trial.quiet_run_s >= 1) text += fmt::format("; quiet for {:.0f} s since", std::floor(trial.quiet_run_s));
      return text;
    }
    case Outcome::held: return fmt::format("held so far: no chatter in {:.0f} s of cut", std::floor(trial.quiet_s));
    case Outcome::not_enough: break;
  }
  return trial.cut_s > 0 ? quiet_so_far(trial) : "waiting for the cut";
}

}  // namespace

std::string short_word(Outcome outcome) {
  switch (outcome) {
    case Outcome::held: return "held";
    case Outcome::returned: return "came back";
    case Outcome::chattered: return "chattered";
    case Outcome::not_enough: return "not enough cut";
  }
  return {};
}

std::string quiet_so_far(const Trial& trial) {
  std::string text = fmt::format("quiet so far, {:.0f} s", std::floor(trial.quiet_run_s));
  if (const auto what = wanted(trial); !what.empty()) text += "; " + what;
  return text;
}

std::string sentence(const Trial& trial) {
  std::string text;
  if (trial.running)
    text = so_far(trial);
  else if (trial.outcome == Outcome::held) {
    text = fmt::format("held: no chatter in {:.1f} s of cut", trial.quiet_s);
    if (trial.passes > 0) text += fmt::format(", {} lap{} or pass{} marked", trial.passes, trial.passes == 1 ? "" : "s", trial.passes == 1 ? "" : "es");
  } else if (trial.outcome == Outcome::returned)
    text = came_back(trial);
  else if (trial.outcome == Outcome::chattered)
    text = fmt::format("chattered: {:.0f} Hz for {:.1f} s, from {:.2f} s", trial.chatter_hz, trial.chatter_s, trial.first_chatter_s.value_or(trial.from_s));
  else
    text = not_enough(trial);
  if (!trial.believed() && !trial.speed_heard && !trial.running && trial.outcome == Outcome::not_enough) {
    text = fmt::format("not to be told: quiet for {:.1f} s of cut, but not at S{:.0f}, the sound fits {:.0f} rev/min with {} flute{}", trial.quiet_s, trial.spindle_rpm,
                       trial.heard_as->spindle_rpm, trial.heard_as->flutes, trial.heard_as->flutes == 1 ? "" : "s");
  } else if (!trial.believed()) {
    text += fmt::format("; not to be believed, the sound fits {:.0f} rev/min with {} flute{}", trial.heard_as->spindle_rpm, trial.heard_as->flutes,
                 trial.heard_as->flutes == 1 ? "" : "s");
    if (trial.heard_as_since_s) text += fmt::format(" from {:.1f} s on", *trial.heard_as_since_s);
  }
  return text;
}

std::string lap_words(const Trial& trial) {
  if (!trial.laps) return {};
  const std::string how = trial.laps->per_period == 1 ? std::string("It comes back") : "It comes back " + times(static_cast<std::size_t>(trial.laps->per_period));
  return how + fmt::format(" every {:.1f} s (spread {:.2f} s), as at a corner of every lap: the engagement changes along the path. Take the speed that "
                    "survives the worst spot, or a path of constant engagement.",
                    trial.laps->period_s, trial.laps->spread_s);
}

std::string comparison_words(const Trial& trial) {
  if (!trial.compared) return {};
  const auto& [number, place, before, after] = *trial.compared;
  std::string text = place ? "over " + std::string(word(*place)) + ", " : std::string();
  text += fmt::format("against trial {} while it chattered: ", number);
  text += fmt::format("tone {:.0f} dB to {:.0f} dB ({:+.0f}), with its family (the tones that go with it) {:.0f} to {:.0f} ({:+.0f}), chatter's part of the sound {:.0f} % to {:.0f} %, whole sound {:.0f} to {:.0f} dB ({:+.0f})",
               before.tone_dbfs, after.tone_dbfs, after.tone_dbfs - before.tone_dbfs, before.family_dbfs, after.family_dbfs,
               after.family_dbfs - before.family_dbfs, 100 * before.share, 100 * after.share, before.total_dbfs, after.total_dbfs,
               after.total_dbfs - before.total_dbfs);
  if (trial.outcome == Outcome::returned) text += ", while it was back";
  return text;
}

std::string table_words(const SpeedTable& table) {
  const char* everywhere = table.places.empty() ? "" : " in every place that was tagged";
  if (table.holds_everywhere_rpm) return fmt::format("Highest speed that held{}: S{:.0f}.", everywhere, *table.holds_everywhere_rpm);
  return fmt::format("No speed has held{} yet.", everywhere);
}

}  // namespace hushmill::trial
