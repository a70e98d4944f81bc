#include "app/lobes_command.hpp"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <cstdio>
#include <memory>
#include <optional>
#include <string>

#include "app/json.hpp"
#include "app/option_text.hpp"
#include "app/out_file.hpp"
#include "app/rig_mounting.hpp"
#include "app/shared_files.hpp"
#include "app/stop_signals.hpp"
#include "app/warning_texts.hpp"
#include "text/outside_text.hpp"
#include "cutting/chart_table.hpp"
#include "cutting/semi_discretization.hpp"
#include "cutting/stability_chart.hpp"
#include "picture/stability_picture.hpp"
#include "rig/rig.hpp"
#include "rig/rig_settings.hpp"
#include "rig/trial.hpp"
#include "setup/setup.hpp"

namespace hushmill::app {

namespace {
struct LobesTexts {
  std::string setup, method = "semi-discretization", out;
  std::optional<std::string> rpm_from, rpm_to, speeds, simulated;
  MountingTexts mounting;
  bool csv = false, json = false;
};

// Progress on standard error, a line for every fifth part; false once the person pressed Ctrl-C.
class Progress {
 public:
  explicit Progress(const char* what) : what_(what) {}
  bool show(double share) {
    const int fifth = static_cast<int>(5 * share);
    if (fifth != shown_) std::fprintf(stderr, "%s: %d %%\n", what_, 20 * fifth);
    shown_ = fifth;
    return !StopSignals::asked();
  }

 private:
  const char* what_;
  int shown_ = 0;
};

Json chart_json(const setup::Setup& setup, const std::string& method, const cutting::StabilityChart& chart,
                const std::vector<picture::TrialMark>& marks) {
  Json points = Json::array();
  for (const auto& limit : chart.limits)
    points.push_back({{"spindle_rpm", limit.spindle_rpm},
                      {"depth_mm", limit.open ? Json(nullptr) : Json(limit.depth_mm)},
                      {"chatter_hz", limit.open ? Json(nullptr) : Json(limit.chatter_hz)},
                      {"kind", limit.open ? Json(nullptr)
                                          : Json(limit.kind == cutting::ChatterKind::hopf ? "hopf" : "period_doubling")}});
  Json cuts = Json::array();
  for (const auto& mark : marks)
    cuts.push_back({{"spindle_rpm", mark.spindle_rpm}, {"depth_mm", mark.depth_mm}, {"chattered", mark.chattered}});
  return Json{{"setup", setup.title}, {"method", method}, {"radial_mm", setup.radial_mm}, {"complete", chart.complete},
              {"greatest_depth_mm", chart.greatest_depth_mm}, {"limits", points}, {"simulated", cuts}, {"notes", setup.notes}};
}

// A few cuts of the simulated machine round the chart, so that the eye can check it.
// `unlike` counts those of which chart and machine say different things.
std::vector<picture::TrialMark> simulate(const setup::Setup& setup, const cutting::StabilityChart& chart, int count, int& unlike) {
  std::vector<picture::TrialMark> marks;
  rig::RigSettings settings;
  settings.model = setup.model;
  settings.milling = setup.milling;
  settings.start = {.spindle_rpm = 0, .depth_mm = 0, .radial_mm = setup.radial_mm, .feed_per_tooth_mm = setup.feed_per_tooth_mm};
  settings.spindle.droop_rpm_per_n_m = 0;
  constexpr double kSeconds = 1.0;
  Progress progress("simulated cuts");
  for (int i = 0; i < count && progress.show(static_cast<double>(i) / count); ++i) {
    const auto at = (chart.limits.size() - 1) * static_cast<std::size_t>(2 * i + 1) / static_cast<std::size_t>(2 * count);
    const auto& limit = chart.limits[at];
    if (limit.spindle_rpm < rig::kSlowestRpm) continue;
    for (const double share : {0.75, 1.3}) {
      settings.start.spindle_rpm = limit.spindle_rpm;
      settings.start.depth_mm = share * limit.depth_mm;
      if (limit.open && share > 1) continue;
      marks.push_back({limit.spindle_rpm, settings.start.depth_mm, rig::try_cut(settings, kSeconds).chattered});
      if (marks.back().chattered != (share > 1)) ++unlike;
    }
  }
  return marks;
}

// Why a mark may stand on the wrong side of the line: the reader should not have to guess.
std::string unlike_note(int unlike, std::size_t marks) {
  return fmt::format("{} of {} simulated cuts do not do what the limit says. One reason: where chips are thin, teeth leave the cut and keep "
                     "chatter so small that it counts as quiet (less than a fifth of the energy in step with the rotation).",
                     unlike, marks);
}

// What the picture holds, in one line.
std::string written_line(const std::string& file, const cutting::StabilityChart& chart, const std::vector<picture::TrialMark>& marks) {
  const cutting::StabilityLimit* lowest = nullptr;
  for (const auto& limit : chart.limits)
    if (!limit.open && (lowest == nullptr || limit.depth_mm < lowest->depth_mm)) lowest = &limit;
  auto line = fmt::format("{}: {} speeds from {:.0f} to {:.0f} rev/min", file, chart.limits.size(), chart.limits.front().spindle_rpm,
                          chart.limits.back().spindle_rpm);
  if (lowest != nullptr)
    line += fmt::format(", lowest limit {:.3g} mm at {:.0f} rev/min", lowest->depth_mm, lowest->spindle_rpm);
  else
    line += fmt::format(", no limit up to {:.3g} mm", chart.greatest_depth_mm);
  if (!marks.empty()) line += fmt::format(", {} simulated cuts", marks.size());
  if (!chart.complete) line += ", stopped before it was whole";
  return line;
}

int work(const LobesTexts& texts) {
  auto setup = setup::load_setup(with_installed(texts.setup));
  const auto remount = mounting_change(texts.mounting, setup.model, setup.mounting);
  if (remount.any()) {
    setup.notes.push_back(mounting_note(setup.model, setup.mounting, remount));
    setup.model = cutting::remounted(setup.model, setup.mounting, remount);
  }
  cutting::ChartSettings settings;
  const double most_rpm = std::min(setup.max_rpm, setup.tool_max_rpm.value_or(setup.max_rpm));
  settings.rpm_from = texts.rpm_from ? parse_number("--rpm-from", *texts.rpm_from, 10, 200000) : setup.min_rpm;
  settings.rpm_to = texts.rpm_to ? parse_number("--rpm-to", *texts.rpm_to, 10, 200000) : most_rpm;
  if (settings.rpm_from >= settings.rpm_to)
    throw UsageError("--rpm-from is " + plain(settings.rpm_from) + " and not below --rpm-to " + plain(settings.rpm_to) + "; a lower one would be right");
  if (texts.speeds) settings.speeds = parse_whole("--speeds", *texts.speeds, 2, 5000);
  const int simulated = texts.simulated ? parse_whole("--simulated", *texts.simulated, 0, 200) : 0;
  if (texts.method == "zero-order")
    settings.method = cutting::StabilityMethod::zero_order;
  else if (texts.method != "semi-discretization")
    throw UsageError("--method is '" + texts.method.substr(0, 60) + "'; zero-order or semi-discretization would be right");

  if (settings.rpm_to > most_rpm)
    setup.notes.push_back(fmt::format("Above {:.0f} rev/min, the lower limit of spindle and tool, the chart is theory: no speed to run.", most_rpm));
  if (!texts.out.empty()) check_out_file("--out", texts.out, {".svg", ".png"});  // before the work, not after it
  if (settings.method == cutting::StabilityMethod::semi_discretization) {
    const double from_rpm = cutting::SemiDiscretization(setup.model, setup.radial_mm, setup.milling).resolved_from_rpm();
    if (settings.rpm_from < from_rpm)
      setup.notes.push_back(fmt::format("Below {:.0f} rev/min the waves are too many for the intervals: no limit there is to be trusted.", from_rpm));
  }
  std::optional<StopSignals> stop(std::in_place);
  Progress progress("stability chart");
  const auto chart = cutting::stability_chart(setup.model, setup.radial_mm, setup.milling, settings,
                                              [&](double share) { return progress.show(share); });
  std::vector<picture::TrialMark> marks;
  int unlike = 0;
  if (!StopSignals::asked() && simulated > 0) marks = simulate(setup, chart, simulated, unlike);
  if (unlike > 0) setup.notes.push_back(unlike_note(unlike, marks.size()));
  stop.reset();

  if (!texts.out.empty()) {
    if (chart.limits.size() < 2) throw std::runtime_error("the chart was stopped before two speeds were done; nothing was written");
    picture::StabilityPicture drawing;
    drawing.title = setup.title;
    drawing.subtitle = fmt::format("{}, {:g} mm radial, {}, {}", setup.tool, setup.radial_mm,
                                   setup.milling == cutting::Milling::climb ? "climb" : "conventional", texts.method);
    drawing.notes = setup.notes;
    drawing.chart = chart;
    drawing.trials = marks;
    drawing.trials_name = "simulated cut";
    if (setup.depth_mm > 0) drawing.now = picture::TrialMark{setup.spindle_rpm, setup.depth_mm, false};
    picture::write_stability_picture(drawing, texts.out);
    // Beside a table or JSON on standard output, the line goes where progress goes.
    std::fprintf(texts.json || texts.csv ? stderr : stdout, "%s\n", text::plain_line(written_line(texts.out, chart, marks)).c_str());
  }
  if (texts.json)
    std::puts(dump(chart_json(setup, texts.method, chart, marks), 2).c_str());
  else if (texts.csv)
    std::fputs(cutting::chart_csv(chart, setup.model.cutter.flutes).c_str(), stdout);
  else if (texts.out.empty()) {
    fmt::print("{}\n{:>12} {:>10} {:>12}  kind\n", text::plain_line(setup.title), "rev/min", "depth mm", "chatter Hz");
    for (const auto& limit : chart.limits)
      if (limit.open)
        fmt::print("{:12.0f} {:>10} {:>12}\n", limit.spindle_rpm, fmt::format("over {:.3g}", chart.greatest_depth_mm), "");
      else
        fmt::print("{:12.0f} {:10.3f} {:12.1f}  {}\n", limit.spindle_rpm, limit.depth_mm, limit.chatter_hz,
                   limit.kind == cutting::ChatterKind::hopf ? "between tooth multiples" : "half the tooth frequency");
    for (const auto& mark : marks)
      fmt::print("simulated cut at {:.0f} rev/min, {:.3f} mm: {}\n", mark.spindle_rpm, mark.depth_mm, mark.chattered ? "chatter" : "quiet");
    for (const auto& note : setup.notes) fmt::print("Note: {}\n", text::plain_line(note));
    std::fputs(kCautions, stdout);
  }
  return StopSignals::asked() ? 1 : 0;
}
}  // namespace

void add_lobes(CLI::App& app, std::function<int()>& run) {
  auto texts = std::make_shared<LobesTexts>();
  auto* command = app.add_subcommand("lobes", "The depth limit against spindle speed, from a set-up file");
  command->footer("Example: hushmill lobes config/bracket-wall.toml --rpm-from 3000 --rpm-to 12000 --out chart.svg");
  command->add_option("setup", texts->setup, "Set-up file, as config/bracket-wall.toml")->required()->type_name("SETUP.toml");
  command->add_option("--rpm-from", texts->rpm_from, "Slowest speed, default the spindle's")->type_name("RPM");
  command->add_option("--rpm-to", texts->rpm_to, "Fastest speed, default the lower of the spindle's and the tool's")->type_name("RPM");
  command->add_option("--speeds", texts->speeds, "How many speeds, default 200")->type_name("N");
  command->add_option("--method", texts->method, "zero-order or semi-discretization")->type_name("HOW")->capture_default_str();
  command->add_option("--simulated", texts->simulated, "Mark cuts of the simulated machine below and above the limit at this many speeds")->type_name("N");
  auto* csv = command->add_flag("--csv", texts->csv, "Table with units in its column names on standard output");
  command->add_flag("--json", texts->json, "One JSON document on standard output")->excludes(csv);
  add_mounting_options(*command, texts->mounting, std::string(kMountingGroup) + " (default as the set-up file says)");
  command->add_option("--out", texts->out, "Write the picture, .svg or .png")->type_name("FILE");
  command->callback([texts, &run] { run = [texts] { return work(*texts); }; });
}

}  // namespace hushmill::app
