#include "advise/speed_window.hpp"

#include "advise/check_question.hpp"
#include "cutting/speeds.hpp"

namespace hushmill::advise {

SpeedWindow speed_window(const Question& question) noexcept {
  SpeedWindow window{kLowestRpm, kHighestRpm, {}, {}};
  const auto raise = [&](const std::optional<double>& rpm, std::string_view by) {
    if (rpm && *rpm >= window.low_rpm) window.low_rpm = *rpm, window.low_by = by;
  };
  const auto cap = [&](const std::optional<double>& rpm, std::string_view by) {
    if (rpm && *rpm <= window.high_rpm) window.high_rpm = *rpm, window.high_by = by;
  };
  raise(question.min_rpm, "the spindle's minimum");
  cap(question.max_rpm, "the spindle's maximum");
  cap(question.holder_max_rpm, "the holder's maximum");
  cap(question.tool_max_rpm, "the tool's maximum");
  if (question.diameter_mm) {
    const auto rpm_at = [&](const std::optional<double>& surface_m_min) -> std::optional<double> {
      if (!surface_m_min) return std::nullopt;
      return cutting::rpm_for_surface_speed_m_min(*surface_m_min, *question.diameter_mm);
    };
    raise(rpm_at(question.min_surface_m_min), "the speed for the material's lowest surface speed");
    cap(rpm_at(question.max_surface_m_min), "the speed for the material's highest surface speed");
  }
  // With the chip load kept the power goes with the speed. P = a_p a_e v_f k_c, common practice; without wear and idling.
  if (question.spindle_kw && question.cutting_n_mm2 && question.radial_mm && question.depth_mm && question.feed_mm_min) {
    const double base_rpm = question.programmed_rpm > 0 ? question.programmed_rpm : question.spindle_rpm;
    const double cutting_kw =
        *question.depth_mm * *question.radial_mm * *question.feed_mm_min * *question.cutting_n_mm2 / 60e6;
    cap(base_rpm * *question.spindle_kw / cutting_kw, "the speed at which the spindle's power is used up");
  }
  return window;
}

}  // namespace hushmill::advise
