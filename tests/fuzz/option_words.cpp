#include <cmath>
#include <optional>
#include <stdexcept>
#include <string>
#include <variant>
#include <vector>

#include "app/cut_options.hpp"
#include "app/inch_words.hpp"
#include "app/lesson_script.hpp"
#include "app/rig_options.hpp"
#include "app/trial_options.hpp"
#include "app/usage_line.hpp"
#include "dashboard/field.hpp"
#include "fuzz/food.hpp"
#include "fuzz/promise.hpp"
#include "journal/utc.hpp"
#include "live/earlier_trials.hpp"
#include "text/outside_text.hpp"

// Each line of the input is one text; its first byte says what it stands behind.
namespace hushmill::fuzz {
namespace {

struct Typed {
  app::CutOptionTexts cut;
  app::TrialOptionTexts trials;
  app::RigOptionTexts rig;
  std::vector<std::string> turns, deeds;
};

// Everything that takes one text.
std::vector<std::optional<std::string>*> places_for_one(Typed& typed) {
  auto& c = typed.cut;
  auto& r = typed.rig;
  auto& m = r.mounting;
  return {&c.rpm, &c.flutes, &c.programmed_rpm, &c.diameter_mm, &c.radial_mm, &c.depth_mm, &c.milling, &c.min_rpm, &c.max_rpm, &c.tool_max_rpm, &c.holder_max_rpm, &c.spindle_kw,
          &c.cutting_n_mm2, &c.surface_m_min, &c.override_range, &c.diameter_in, &c.radial_in, &c.depth_in, &c.feed_in_min, &c.surface_ft_min, &c.feed_mm_min, &c.knob_step_percent,
          &c.damping_ratio, &c.pitch_deg, &typed.trials.hold_s, &r.seed, &r.rpm, &r.depth_mm, &r.radial_mm, &r.feed_per_tooth_mm, &r.depth_in, &r.radial_in, &r.feed_per_tooth_in,
          &r.rate_hz, &r.speed_error_percent, &r.air_s, &m.stick_out_mm, &m.holder_times, &m.overhang_mm, &m.support_n_um};
}
// And what may be said more than once.
std::vector<std::vector<std::string>*> places_for_many(Typed& typed) {
  auto& c = typed.cut;
  auto& r = typed.rig;
  return {&c.rpm_at, &c.tried, &c.tap_tool, &c.tap_part, &typed.trials.tags, &r.rpm_at, &r.depth_at, &r.radial_at, &r.depth_at_in, &r.radial_at_in, &typed.turns, &typed.deeds};
}

void read_kept_text(const std::string& text) {
  for (const auto& trial : live::tried_from(text)) promise(std::isfinite(trial.spindle_rpm) && trial.spindle_rpm > 0, "a tried speed is one");
  journal::local_text(text, 60);
  app::in_inches(text);
  app::nearest_word(text.substr(0, 60), {"--rpm", "--flutes", "--diameter-mm", "review"});
  text::clean_lines(text);
}

void type_into_fields(const std::string& text) {
  for (const auto units : {dashboard::Units::metric, dashboard::Units::inch}) {
    for (const auto field : dashboard::card_fields()) {
      const auto card = dashboard::with_entry(field, text, live::CutCard{}, units);
      if (const auto* good = std::get_if<live::CutCard>(&card)) dashboard::value_text(field, *good, units);
    }
    for (const auto field : dashboard::rig_fields()) dashboard::with_entry(field, text, rig::RigControls{}, units);
  }
}

template <class Work>
void usage_in_one_line(Work&& work) {
  try {
    work();
  } catch (const std::invalid_argument& refused) {
    promise_one_line(refused.what());
  }
}

}  // namespace

void option_words(Input input) {
  Typed typed;
  const auto ones = places_for_one(typed);
  const auto many = places_for_many(typed);
  Food food(input);
  while (!food.empty()) {
    std::string line = food.line();
    if (line.empty()) continue;
    const std::size_t place = static_cast<unsigned char>(line.front()) % (ones.size() + many.size() + 2);
    const std::string text = line.substr(1);
    if (place < ones.size())
      *ones[place] = text;
    else if (place < ones.size() + many.size())
      many[place - ones.size()]->push_back(text);
    else if (place == ones.size() + many.size())
      read_kept_text(text);
    else
      type_into_fields(text);
  }
  usage_in_one_line([&] {
    const auto cut = app::cut_options(typed.cut, 6000, 4);
    promise(cut.spindle_rpm >= 10 && cut.spindle_rpm <= 200000 && cut.flutes >= 1 && cut.flutes <= 64 && cut.comb_flutes() >= 1, "a cut that was taken keeps its limits");
    cut.card();
    cut.question(1000);
  });
  usage_in_one_line([&] { app::trial_options(typed.trials); });
  usage_in_one_line([&] { app::rig_options(typed.rig, std::nullopt, {}); });
  usage_in_one_line([&] { app::lesson_script(typed.turns, typed.deeds); });
}

}  // namespace hushmill::fuzz
