#include "dashboard/move.hpp"

#include <array>
#include <cmath>
#include <cstdio>

#include "advise/candidate.hpp"
#include "dashboard/numbers.hpp"

namespace hushmill::dashboard {
namespace {

bool in_pocket(double rpm, const advise::Candidate& candidate) {
  if (candidate.width_to_rpm > candidate.width_from_rpm) {
    return rpm >= candidate.width_from_rpm && rpm <= candidate.width_to_rpm;
  }
  return std::abs(rpm - candidate.spindle_rpm) <= 0.01 * candidate.spindle_rpm;
}

bool within_limits(double rpm, const live::CutCard& card) {
  const auto upper = upper_limit(card);
  // A hundredth of a percent for rounding: a speed at the limit is not beyond it.
  return !(upper && rpm > upper->rpm * 1.0001) && !(card.min_rpm && rpm < *card.min_rpm * 0.9999);
}

/// As typed into a program: no gaps, a point, and in inches the decimals that inches need.
Words feed_word(double feed_mm_min, Units units) {
  const double feed = units == Units::inch ? feed_mm_min / kMmPerInch : feed_mm_min;
  if (!std::isfinite(feed)) return kDash;
  std::array<char, 400> text{};
  std::snprintf(text.data(), text.size(), "%.*f", units == Units::inch ? 2 : feed < 100 ? 1 : 0, feed);
  return text.data();
}

Words word_number(double value) {
  return std::isfinite(value) ? Words(std::to_string(std::llround(value))) : Words(kDash);
}

/// The feed in mm/min stays when only the speed override is turned, so the chip does not.
Words chip_load_words(const advise::Candidate& candidate) {
  const double change = 100 / candidate.knob_percent - 1;
  if (!candidate.feed_mm_min || !std::isfinite(change) || std::abs(change) < 0.005) return {};
  return Words(", chip load ") + (change > 0 ? "up by " : "down by ") + in_percent(std::abs(change));
}

}  // namespace

std::optional<SpeedLimit> upper_limit(const live::CutCard& card) {
  std::optional<SpeedLimit> limit;
  if (card.max_rpm) limit = SpeedLimit{*card.max_rpm, "spindle limit"};
  if (card.tool_max_rpm && (!limit || *card.tool_max_rpm < limit->rpm))
    limit = SpeedLimit{*card.tool_max_rpm, "tool limit"};
  return limit;
}

Words likelihood_words(std::optional<double> likelihood) {
  if (!likelihood) return "likelihood not known";
  const Words percent = in_percent(*likelihood);
  if (*likelihood >= 0.6) return percent + " likely";
  if (*likelihood >= 0.3) return "worth a try, " + percent;
  return "unlikely, " + percent;
}

Move describe_move(const advise::Candidate& candidate, const live::CutCard& card, Units units, bool chatters_here) {
  Move move;
  move.exact_rpm = candidate.spindle_rpm;
  const double knob_rpm = card.programmed_rpm * candidate.knob_percent / 100;
  move.steps =
      card.knob_step_percent > 0
          ? static_cast<int>(std::lround((candidate.knob_percent - card.override_percent) / card.knob_step_percent))
          : 0;
  const bool step_is_here = std::abs(candidate.knob_percent - card.override_percent) < 0.05;
  const bool in_reach = candidate.knob_percent >= card.knob_min_percent.value_or(advise::kKnobMinPercent) - 1e-9 &&
                        candidate.knob_percent <= card.knob_max_percent.value_or(advise::kKnobMaxPercent) + 1e-9;
  // A step is the easier move, but not at any price: a speed that held before is not to be passed by.
  constexpr double kWorthTyping = 0.12;
  const bool much_worse = candidate.likelihood && candidate.knob_likelihood && *candidate.knob_likelihood < *candidate.likelihood - kWorthTyping;
  move.by_knob = in_reach && in_pocket(knob_rpm, candidate) && within_limits(knob_rpm, card) && !(step_is_here && chatters_here) && !much_worse;
  move.target_rpm = move.by_knob ? knob_rpm : candidate.spindle_rpm;
  move.beyond_limit = !within_limits(move.target_rpm, card);

  const double entered_rpm = card.entered_rpm();
  move.there_already = std::abs(move.target_rpm - entered_rpm) <= 0.0025 * entered_rpm;
  const bool down = move.target_rpm < entered_rpm;
  const int steps = std::abs(move.steps);
  const Words target = grouped(move.target_rpm);
  const Words plural = steps == 1 ? "" : "s";
  if (move.there_already) {
    move.sentence = "The speed is set to " + target + " already: try the cut.";
    move.short_words = "set already" + Words(kDot) + target;
  } else if (move.by_knob && steps > 0) {
    move.sentence = Words("Turn the speed ") + (down ? "DOWN " : "UP ") + counted(steps) + " step" + plural +
                    ", to " + target + ".";
    move.short_words = std::to_string(steps) + " step" + plural + (down ? " down" : " up") + kDot + target;
  } else {
    move.sentence = Words("Set the speed ") + (down ? "DOWN" : "UP") + " to S" + word_number(move.target_rpm) +
                    (std::abs(card.override_percent - 100) > 0.05 ? ", override at 100\xC2\xA0%." : ".");
    move.short_words = Words(down ? "down" : "up") + " by S word" + kDot + target;
  }
  Words typed = "S" + word_number(candidate.spindle_rpm), unit;
  if (candidate.feed_mm_min) {
    typed += " F" + feed_word(*candidate.feed_mm_min, units);
    unit = Words(kThinGap) + (units == Units::inch ? "in/min" : "mm/min");
  }
  const Words percent = trimmed(candidate.override_percent, 1) + kThinGap + "%";
  const Words step = trimmed(candidate.knob_percent, 1) + kThinGap + "%";
  if (move.by_knob) {
    move.words = Spellings{"override " + step + chip_load_words(candidate), "override " + step};
    move.likely = likelihood_words(candidate.knob_likelihood ? candidate.knob_likelihood : candidate.likelihood);
    const Words how = candidate.likelihood ? ": " + in_percent(*candidate.likelihood) + " likely" : Words();
    move.beside = Spellings{"or " + typed + unit + how, "or " + typed + how, "or " + typed};
    return move;
  }
  move.words = Spellings{typed + unit, typed};
  move.likely = likelihood_words(candidate.likelihood);
  if (!in_reach) {
    move.beside = Spellings{"override " + percent + ", beyond the knob", percent + ", beyond the knob"};
  } else if (step_is_here) {
    move.beside = Spellings{"override " + percent + ", between two steps of the knob", "override " + percent + ", no step", percent};
  } else if (std::abs(candidate.knob_percent - candidate.override_percent) < 0.05) {
    move.beside = Spellings{"override " + percent, percent};
  } else {
    const Words likely = candidate.knob_likelihood ? in_percent(*candidate.knob_likelihood) + " likely" : Words();
    const Words behind = likely.empty() ? likely : " (" + likely + ")";
    move.beside = Spellings{"override " + percent + ", nearest step " + step + behind, "override " + percent + ", step " + step + behind,
                            "step " + step + (likely.empty() ? likely : ": " + likely)};
  }
  return move;
}

}  // namespace hushmill::dashboard
