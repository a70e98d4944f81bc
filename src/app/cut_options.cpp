#include "app/cut_options.hpp"

#include <CLI/CLI.hpp>
#include <algorithm>
#include <cmath>
#include <numeric>
#include <utility>

#include "advise/choose.hpp"
#include "app/inch_words.hpp"
#include "cutting/cutter.hpp"
#include "setup/taps.hpp"

namespace hushmill::app {

namespace {
constexpr double kLeastDampingRatio = 0.0001;

void set(std::optional<double>& value, const std::optional<std::string>& text, const char* option, double low, double high) {
  if (text) value = parse_number(option, *text, low, high);
}

// An option and its twin in inches: one of them, not both.
struct Twin {
  const char* metric;
  const std::optional<std::string>& metric_text;
  const char* inch;
  const std::optional<std::string>& inch_text;
};
void set(std::optional<double>& value_mm, const Twin& twin, double low_mm, double high_mm) {
  if (twin.metric_text && twin.inch_text)
    throw UsageError(std::string(twin.metric) + " and " + twin.inch + " are both given; one of them would be right");
  set(value_mm, twin.metric_text, twin.metric, low_mm, high_mm);
  if (twin.inch_text) value_mm = kMmPerInch * parse_number(twin.inch, *twin.inch_text, low_mm / kMmPerInch, high_mm / kMmPerInch);
}

void add_kept_taps(CutOptions& cut, const std::string& file) {
  for (const auto& mode : setup::load_taps(file)) {
    cut.kept_taps.push_back(mode);
    if (mode.on != setup::TappedOn::machine) cut.taps.push_back({mode.natural_hz, mode.on == setup::TappedOn::part});
  }
  if (cut.kept_taps.empty())
    throw UsageError("--taps is '" + file + "', which holds no taps; a set-up file that `hushmill tap --save` has written would be right");
}

std::optional<double> kept_damping(const std::vector<setup::TappedMode>& modes, double chatter_hz) {
  std::optional<double> damping_ratio;
  double nearest = 1e300;
  for (const auto& mode : modes) {
    const double apart = std::abs(std::log(mode.natural_hz / chatter_hz));
    if (apart >= nearest || mode.damping_ratio < kLeastDampingRatio || !advise::same_mode({mode.natural_hz, false}, chatter_hz)) continue;
    nearest = apart;
    damping_ratio = mode.damping_ratio;
  }
  return damping_ratio;
}
}  // namespace

void add_cut_options(CLI::App& command, CutOptionTexts& texts, CutNeeds needs, bool speed_changes) {
  const bool needed = needs == CutNeeds::speed_and_flutes;
  constexpr const char* kNeeded = kCutGroup;
  constexpr const char* kMore = kMoreOfCutGroup;
  command.add_option("--rpm", texts.rpm, "Spindle speed entered at the control, rev/min, 10 to 200000")
      ->required(needed)->type_name("RPM")->group(kNeeded);
  command.add_option("--flutes", texts.flutes, "Flutes of the cutter, 1 to 64")->required(needed)->type_name("N")->group(kNeeded);
  if (speed_changes)
    command.add_option("--rpm-at", texts.rpm_at, "The entered speed changed: seconds from the start and the new speed; may be repeated")
        ->type_name("S:RPM")->group(kNeeded)->expected(1)->take_all();
  command.add_option("--programmed-rpm", texts.programmed_rpm, "The S word that override percent refers to; default the first --rpm")
      ->type_name("RPM")->group(kMore);
  command.add_option("--diameter-mm", texts.diameter_mm, "Diameter of the cutter")->type_name("MM")->group(kMore);
  command.add_option("--radial-mm", texts.radial_mm, "Radial depth of cut")->type_name("MM")->group(kMore);
  command.add_option("--depth-mm", texts.depth_mm, "Axial depth of cut")->type_name("MM")->group(kMore);
  command.add_option("--milling", texts.milling, "climb or conventional")->type_name("WAY")->group(kMore);
  command.add_option("--feed-mm-min", texts.feed_mm_min, "The F word at the programmed speed")->type_name("MM/MIN")->group(kMore);
  command.add_option("--diameter-in", texts.diameter_in, "Diameter of the cutter in inches")->type_name("IN")->group(kMore);
  command.add_option("--radial-in", texts.radial_in, "Radial depth of cut in inches")->type_name("IN")->group(kMore);
  command.add_option("--depth-in", texts.depth_in, "Axial depth of cut in inches")->type_name("IN")->group(kMore);
  command.add_option("--feed-in-min", texts.feed_in_min, "The F word at the programmed speed, inches a minute")->type_name("IN/MIN")->group(kMore);
  command.add_option("--min-rpm", texts.min_rpm, "Slowest spindle speed allowed")->type_name("RPM")->group(kMore);
  command.add_option("--max-rpm", texts.max_rpm, "Fastest spindle speed allowed")->type_name("RPM")->group(kMore);
  command.add_option("--tool-max-rpm", texts.tool_max_rpm, "Fastest speed of the tool")->type_name("RPM")->group(kMore);
  command.add_option("--holder-max-rpm", texts.holder_max_rpm, "Fastest speed of the holder")->type_name("RPM")->group(kMore);
  command.add_option("--spindle-kw", texts.spindle_kw, "Power of the spindle; with --cutting-n-mm2, width, depth and feed it bars speeds that need more")
      ->type_name("KW")->group(kMore);
  command.add_option("--cutting-n-mm2", texts.cutting_n_mm2, "Specific cutting force of the material, as 800 for aluminium")
      ->type_name("N/MM2")->group(kMore);
  command.add_option("--surface-m-min", texts.surface_m_min, "Surface speeds that tool and material allow, as 120:400; needs --diameter-mm")
      ->type_name("LOW:HIGH")->group(kMore);
  command.add_option("--surface-ft-min", texts.surface_ft_min, "The same surface speeds in feet a minute, as 400:1300")->type_name("LOW:HIGH")->group(kMore);
  command.add_option("--knob-step-percent", texts.knob_step_percent, "Step of the override knob, default 10")->type_name("PERCENT")->group(kMore);
  command.add_option("--override-range", texts.override_range, "Reach of the override knob in percent, default 50:150")
      ->type_name("LOW:HIGH")->group(kMore);
  command.add_option("--tap-tool", texts.tap_tool, "Frequency of the tool from a tap test; may be repeated")
      ->type_name("HZ")->group(kMore)->expected(1)->take_all();
  command.add_option("--tap-part", texts.tap_part, "Frequency of the part in its hold from a tap test; may be repeated")
      ->type_name("HZ")->group(kMore)->expected(1)->take_all();
  command.add_option("--taps", texts.taps, "Set-up file with the modes that `hushmill tap --save` kept, of tool, part and machine")
      ->type_name("TOML")->group(kMore);
  command.add_flag("--unequal-pitch", texts.unequal_pitch, "The cutter's pitch is unequal")->group(kMore);
  command.add_option("--pitch-deg", texts.pitch_deg, "Angles from flute to flute, one a flute, 360 together, as 80,100,80,100")
      ->type_name("DEG,DEG,...")->group(kMore);
  command.add_option("--damping-ratio", texts.damping_ratio, "Damping ratio of the mode from a tap test, as 0.03")->type_name("Z")->group(kMore);
  command.add_option("--tried", texts.tried, "A speed tried before on this set-up: 5400:held, 6000:chattered@1370, 6600:returned@1355; may be repeated")
      ->type_name("RPM:WHAT[@HZ]")->group(kMore)->expected(1)->take_all();
  command.add_option("--tried-session", texts.tried_sessions, "What this session of the journal tried on the same cut counts as tried; may be repeated")
      ->type_name("N")->group(kMore)->expected(1)->take_all();
}

void need_speed_and_flutes(const CutOptionTexts& texts, const std::string& or_else) {
  if (texts.rpm) parse_number("--rpm", *texts.rpm, kLowestRpm, kHighestRpm);
  if (texts.flutes) parse_whole("--flutes", *texts.flutes, 1, 64);
  if (!texts.rpm || !texts.flutes)
    throw UsageError(std::string(texts.rpm ? "--flutes" : "--rpm") + " is missing; the entered speed and the flutes, as --rpm 6000 --flutes 4," + or_else + " would be right");
}

namespace {
// A speed that held and chattered both: one of the two is a slip.
void add_tried(CutOptions& cut, const advise::Trial& trial) {
  for (const auto& told : cut.tried)
    if (told.spindle_rpm == trial.spindle_rpm && (told.outcome == advise::Outcome::held) != (trial.outcome == advise::Outcome::held))
      throw UsageError("--tried says of " + plain(trial.spindle_rpm) + " that it is " + std::string(advise::word(told.outcome)) + " and " + std::string(advise::word(trial.outcome)) +
                       "; one of them would be right (returned, where it was quiet and chatter came back)");
  cut.tried.push_back(trial);
}
}  // namespace

CutOptions cut_options(const CutOptionTexts& texts, double default_rpm, int default_flutes) {
  CutOptions cut;
  cut.inches = texts.diameter_in || texts.radial_in || texts.depth_in || texts.feed_in_min || texts.surface_ft_min;
  cut.spindle_rpm = texts.rpm ? parse_number("--rpm", *texts.rpm, kLowestRpm, kHighestRpm) : default_rpm;
  cut.flutes = texts.flutes ? parse_whole("--flutes", *texts.flutes, 1, 64) : default_flutes;
  for (const auto& text : texts.rpm_at) cut.rpm_at.push_back(parse_timed("--rpm-at", text, kLowestRpm, kHighestRpm));
  std::stable_sort(cut.rpm_at.begin(), cut.rpm_at.end(), [](const auto& a, const auto& b) { return a.at_s < b.at_s; });
  for (std::size_t i = 1; i < cut.rpm_at.size(); ++i)
    if (cut.rpm_at[i].at_s == cut.rpm_at[i - 1].at_s)
      throw UsageError("--rpm-at is given twice for " + plain(cut.rpm_at[i].at_s) + " s, with " + plain(cut.rpm_at[i - 1].value) + " and " + plain(cut.rpm_at[i].value) +
                       "; one speed at a time would be right");
  set(cut.programmed_rpm, texts.programmed_rpm, "--programmed-rpm", kLowestRpm, kHighestRpm);
  set(cut.diameter_mm, {"--diameter-mm", texts.diameter_mm, "--diameter-in", texts.diameter_in}, 0.01, 1000);
  set(cut.radial_mm, {"--radial-mm", texts.radial_mm, "--radial-in", texts.radial_in}, 0.001, 1000);
  set(cut.depth_mm, {"--depth-mm", texts.depth_mm, "--depth-in", texts.depth_in}, 0.001, 1000);
  set(cut.feed_mm_min, {"--feed-mm-min", texts.feed_mm_min, "--feed-in-min", texts.feed_in_min}, 0.01, 1e6);
  set(cut.min_rpm, texts.min_rpm, "--min-rpm", kLowestRpm, kHighestRpm);
  set(cut.max_rpm, texts.max_rpm, "--max-rpm", kLowestRpm, kHighestRpm);
  set(cut.tool_max_rpm, texts.tool_max_rpm, "--tool-max-rpm", kLowestRpm, kHighestRpm);
  set(cut.holder_max_rpm, texts.holder_max_rpm, "--holder-max-rpm", kLowestRpm, kHighestRpm);
  set(cut.spindle_kw, texts.spindle_kw, "--spindle-kw", 0.01, 1000);
  set(cut.cutting_n_mm2, texts.cutting_n_mm2, "--cutting-n-mm2", 1, 20000);
  if (texts.surface_m_min) cut.surface_m_min = parse_range("--surface-m-min", *texts.surface_m_min, 0.1, 100000);
  if (texts.surface_m_min && texts.surface_ft_min) throw UsageError("--surface-m-min and --surface-ft-min are both given; one of them would be right");
  if (texts.surface_ft_min) {
    const auto feet = parse_range("--surface-ft-min", *texts.surface_ft_min, 0.1 / kMetresPerFoot, 100000 / kMetresPerFoot);
    cut.surface_m_min = Range{feet.from * kMetresPerFoot, feet.to * kMetresPerFoot};
  }
  if (texts.override_range) cut.override_percent_range = parse_range("--override-range", *texts.override_range, 1, 500);
  constexpr double kHighestHz = 96000;
  for (const auto& text : texts.tap_tool) cut.taps.push_back({parse_number("--tap-tool", text, 1, kHighestHz), false});
  for (const auto& text : texts.tap_part) cut.taps.push_back({parse_number("--tap-part", text, 1, kHighestHz), true});
  if (texts.taps) add_kept_taps(cut, *texts.taps);
  cut.unequal_pitch = texts.unequal_pitch;
  if (texts.pitch_deg) {
    cut.pitch_deg = parse_list("--pitch-deg", *texts.pitch_deg, 1, 359);
    const double sum = std::accumulate(cut.pitch_deg.begin(), cut.pitch_deg.end(), 0.0);
    if (cut.pitch_deg.size() != static_cast<std::size_t>(cut.flutes) || std::abs(sum - 360) > 0.5)
      throw UsageError("--pitch-deg has " + std::to_string(cut.pitch_deg.size()) + " angles, " + plain(sum) + " degrees together; " +
                       std::to_string(cut.flutes) + ", one a flute, and 360 together would be right");
    for (double& angle : cut.pitch_deg) angle *= 360 / sum;
    cut.unequal_pitch = cut.unequal_pitch || cut.comb_flutes() < cut.flutes;
  }
  set(cut.damping_ratio, texts.damping_ratio, "--damping-ratio", kLeastDampingRatio, 0.5);
  if (texts.knob_step_percent) cut.knob_step_percent = parse_number("--knob-step-percent", *texts.knob_step_percent, 0.1, 100);
  if (texts.milling) {
    if (*texts.milling == "climb")
      cut.milling = advise::Milling::climb;
    else if (*texts.milling == "conventional")
      cut.milling = advise::Milling::conventional;
    else
      throw UsageError("--milling is '" + texts.milling->substr(0, 60) + "'; climb or conventional would be right");
  }
  for (const auto& text : texts.tried) add_tried(cut, parse_trial("--tried", text));
  if (cut.min_rpm && cut.max_rpm && *cut.min_rpm > *cut.max_rpm)
    throw UsageError("--min-rpm is " + plain(*cut.min_rpm) + " and above --max-rpm " + plain(*cut.max_rpm) + "; a lower one would be right");
  if (texts.spindle_kw && !(cut.cutting_n_mm2 && cut.radial_mm && cut.depth_mm && cut.feed_mm_min))
    throw UsageError("--spindle-kw is given without all of --cutting-n-mm2, --radial-mm, --depth-mm and --feed-mm-min; all of them together would be right");
  if (cut.surface_m_min && !cut.diameter_mm)
    throw UsageError(std::string(texts.surface_m_min ? "--surface-m-min" : "--surface-ft-min") + " is given without --diameter-mm; both together would be right");
  for (const auto& [name, most] : {std::pair{"--tool-max-rpm", cut.tool_max_rpm}, {"--holder-max-rpm", cut.holder_max_rpm}})
    if (cut.min_rpm && most && *cut.min_rpm > *most)
      throw UsageError("--min-rpm is " + plain(*cut.min_rpm) + " and above " + name + " " + plain(*most) + "; a lower one would be right");
  if (cut.diameter_mm && cut.radial_mm && *cut.radial_mm > *cut.diameter_mm)
    throw UsageError("--radial-mm is " + plain(*cut.radial_mm) + " and wider than --diameter-mm " + plain(*cut.diameter_mm) +
                     "; at most the diameter would be right");
  return cut;
}

int CutOptions::comb_flutes() const {
  if (pitch_deg.empty()) return flutes;
  cutting::Cutter cutter;
  cutter.flutes = flutes;
  cutter.pitch_deg = pitch_deg;
  return flutes / cutting::pattern_teeth(cutter);
}

advise::Question CutOptions::question(double chatter_hz) const {
  advise::Question q;
  q.chatter_hz = chatter_hz;
  q.spindle_rpm = spindle_rpm;
  q.flutes = flutes;
  q.programmed_rpm = programmed_rpm.value_or(spindle_rpm);
  q.feed_mm_min = feed_mm_min;
  q.diameter_mm = diameter_mm;
  q.radial_mm = radial_mm;
  q.depth_mm = depth_mm;
  q.milling = milling;
  q.min_rpm = min_rpm;
  q.max_rpm = max_rpm;
  q.tool_max_rpm = tool_max_rpm;
  q.holder_max_rpm = holder_max_rpm;
  q.spindle_kw = spindle_kw;
  q.cutting_n_mm2 = cutting_n_mm2;
  if (surface_m_min) {
    q.min_surface_m_min = surface_m_min->from;
    q.max_surface_m_min = surface_m_min->to;
  }
  if (override_percent_range) {
    q.knob_min_percent = override_percent_range->from;
    q.knob_max_percent = override_percent_range->to;
  }
  q.taps = taps;
  for (const auto& mode : kept_taps)
    if (mode.on == setup::TappedOn::machine) q.machine_taps_hz.push_back(mode.natural_hz);
  q.unequal_pitch = unequal_pitch;
  q.knob_step_percent = knob_step_percent;
  q.damping_ratio = damping_ratio ? damping_ratio : kept_damping(kept_taps, chatter_hz);
  q.tried = tried;
  return q;
}

live::CutCard CutOptions::card() const {
  live::CutCard card;
  card.programmed_rpm = programmed_rpm.value_or(spindle_rpm);
  card.override_percent = 100.0 * spindle_rpm / card.programmed_rpm;
  card.flutes = flutes;
  card.diameter_mm = diameter_mm;
  card.radial_mm = radial_mm;
  card.depth_mm = depth_mm;
  card.milling = milling;
  card.feed_mm_min = feed_mm_min;
  card.min_rpm = min_rpm;
  card.max_rpm = max_rpm;
  // The card knows one limit for what the spindle carries: the lower of tool and holder.
  card.tool_max_rpm = tool_max_rpm;
  if (holder_max_rpm) card.tool_max_rpm = std::min(*holder_max_rpm, tool_max_rpm.value_or(*holder_max_rpm));
  card.knob_step_percent = knob_step_percent;
  if (override_percent_range) card.knob_min_percent = override_percent_range->from, card.knob_max_percent = override_percent_range->to;
  card.damping_ratio = damping_ratio;
  card.pitch_pattern_teeth = flutes / comb_flutes();
  card.unequal_pitch = unequal_pitch;
  const auto add = [&card](const live::CardTap& tap) {
    if (static_cast<std::size_t>(card.tap_count) < card.taps.size()) card.taps[static_cast<std::size_t>(card.tap_count++)] = tap;
  };
  for (const auto& mode : kept_taps) add({mode.natural_hz, mode.damping_ratio, mode.on == setup::TappedOn::part, mode.on == setup::TappedOn::machine});
  // Those typed as mere frequencies stand first among `taps`.
  const auto kept_here = static_cast<std::size_t>(std::count_if(kept_taps.begin(), kept_taps.end(), [](const auto& mode) { return mode.on != setup::TappedOn::machine; }));
  for (std::size_t i = 0; i + kept_here < taps.size(); ++i) add({taps[i].hz, 0, taps[i].of_part});
  return card;
}

}  // namespace hushmill::app
