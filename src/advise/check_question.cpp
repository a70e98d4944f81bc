#include "advise/check_question.hpp"

#include <cmath>
#include <sstream>
#include <stdexcept>

namespace hushmill::advise {

namespace {

[[noreturn]] void refuse(std::string_view field, double value, std::string_view right) {
  std::ostringstream line;
  line << field << " is " << value << "; " << right << " would be right";
  throw std::invalid_argument(line.str());
}

std::string span_words(double low, double high, std::string_view unit) {
  std::ostringstream words;
  words << "a number from " << low << " to " << high << unit;
  return words.str();
}

void within(std::string_view field, double value, double low, double high, std::string_view unit) {
  // Written so that NaN fails.
  if (!(value >= low && value <= high)) refuse(field, value, span_words(low, high, unit));
}

void within(std::string_view field, const std::optional<double>& value, double low, double high,
            std::string_view unit) {
  if (value) within(field, *value, low, high, unit);
}

void speed(std::string_view field, const std::optional<double>& rpm) {
  within(field, rpm, kLowestRpm, kHighestRpm, " rev/min");
}

void ordered(std::string_view low_field, const std::optional<double>& low, std::string_view high_field,
             const std::optional<double>& high) {
  if (!low || !high || *low <= *high) return;
  std::ostringstream right;
  right << "at most " << high_field << " (" << *high << ")";
  refuse(low_field, *low, right.str());
}

}  // namespace

void check_question(const Question& question) {
  constexpr double kHighestHz = 100000;
  within("chatter_hz", question.chatter_hz, 1, kHighestHz, " Hz");
  speed("spindle_rpm", question.spindle_rpm);
  if (question.flutes < 1 || question.flutes > kMostFlutes)
    refuse("flutes", question.flutes, span_words(1, kMostFlutes, ""));
  if (question.programmed_rpm != 0) speed("programmed_rpm", question.programmed_rpm);
  within("feed_mm_min", question.feed_mm_min, 1e-3, 1e6, " mm/min");
  within("diameter_mm", question.diameter_mm, 0.01, 2000, " mm");
  within("radial_mm", question.radial_mm, 1e-4, question.diameter_mm.value_or(2000), " mm");
  within("depth_mm", question.depth_mm, 1e-4, 1000, " mm");
  speed("min_rpm", question.min_rpm);
  speed("max_rpm", question.max_rpm);
  speed("tool_max_rpm", question.tool_max_rpm);
  speed("holder_max_rpm", question.holder_max_rpm);
  ordered("min_rpm", question.min_rpm, "max_rpm", question.max_rpm);
  ordered("min_rpm", question.min_rpm, "tool_max_rpm", question.tool_max_rpm);
  ordered("min_rpm", question.min_rpm, "holder_max_rpm", question.holder_max_rpm);
  within("min_surface_m_min", question.min_surface_m_min, 0.1, 100000, " m/min");
  within("max_surface_m_min", question.max_surface_m_min, 0.1, 100000, " m/min");
  ordered("min_surface_m_min", question.min_surface_m_min, "max_surface_m_min", question.max_surface_m_min);
  within("spindle_kw", question.spindle_kw, 0.01, 1000, " kW");
  within("cutting_n_mm2", question.cutting_n_mm2, 1, 20000, " N/mm^2");
  within("knob_step_percent", question.knob_step_percent, 0.01, 100, " %");
  within("damping_ratio", question.damping_ratio, 1e-4, 0.5, "");
  within("growth_per_s", question.growth_per_s, 0, 1e5, " per second");
  within("knob_min_percent", question.knob_min_percent, 0.01, 1000, " %");
  within("knob_max_percent", question.knob_max_percent, 0.01, 1000, " %");
  ordered("knob_min_percent", question.knob_min_percent, "knob_max_percent", question.knob_max_percent);
  for (const Tap& tap : question.taps) within("taps hz", tap.hz, 1, kHighestHz, " Hz");
  for (const double hz : question.machine_taps_hz) within("machine taps hz", hz, 1, kHighestHz, " Hz");
  for (const Trial& trial : question.tried) {
    speed("tried spindle_rpm", trial.spindle_rpm);
    within("tried chatter_hz", trial.chatter_hz, 1, kHighestHz, " Hz");
  }
}

}  // namespace hushmill::advise
