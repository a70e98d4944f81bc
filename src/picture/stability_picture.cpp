#include "picture/stability_picture.hpp"

#include <algorithm>
#include <cmath>
#include <sstream>
#include <stdexcept>

#include "picture/canvas.hpp"
#include "picture/ticks.hpp"

namespace hushmill::picture {
namespace {

using cutting::ChatterKind;
using cutting::StabilityLimit;

// Calm, and apart for every kind of colour sight: kinds differ by dashes, trials by shape.
constexpr Colour kPaper{0.985, 0.985, 0.975};
constexpr Colour kInk{0.13, 0.15, 0.18};
constexpr Colour kFaint{0.45, 0.47, 0.50};
constexpr Colour kGrid{0.86, 0.87, 0.87};
constexpr Colour kStable{0.80, 0.89, 0.93};
constexpr Colour kLimit{0.05, 0.30, 0.45};
constexpr Colour kQuiet{0.05, 0.42, 0.38};
constexpr Colour kChatter{0.72, 0.16, 0.10};

constexpr double kWidth = 900;
constexpr double kLeft = 74;
constexpr double kRight = 26;
constexpr double kLegendTop = 68;
constexpr double kLegendRow = 19;
constexpr double kDepthHeight = 330;
constexpr double kBetween = 58;
constexpr double kToneHeight = 140;
constexpr double kNoteLine = 15;
constexpr double kNoteSize = 10.5;
constexpr const char* kCaution =
    "Computed: a guide, no promise. Never above the limits of spindle, holder and tool; guards and doors shut; shop "
    "rules and qualified people first.";

/// A rectangle of the sheet with a scale on either axis.
struct Plot {
  double x, y, width, height;
  double from_x, to_x, from_y, to_y;

  Spot at(double value_x, double value_y) const {
    return {x + width * (value_x - from_x) / (to_x - from_x),
            y + height * (1.0 - (value_y - from_y) / (to_y - from_y))};
  }
};

void draw_axes(Canvas& canvas, const Plot& plot, const std::string& name_y, bool name_x) {
  for (const Tick& tick : round_ticks(plot.from_x, plot.to_x, 9)) {
    const Spot foot = plot.at(tick.value, plot.from_y);
    canvas.line({foot, plot.at(tick.value, plot.to_y)}, 0.7, kGrid);
    canvas.text({foot.x, foot.y + 15}, tick.label, 11, kFaint, Align::centre);
  }
  for (const Tick& tick :
       round_ticks(plot.from_y, plot.to_y, static_cast<int>(plot.height / (plot.height < 200 ? 28 : 42)))) {
    const Spot left = plot.at(plot.from_x, tick.value);
    canvas.line({left, plot.at(plot.to_x, tick.value)}, 0.7, kGrid);
    canvas.text({left.x - 7, left.y + 4}, tick.label, 11, kFaint, Align::right);
  }
  canvas.line({{plot.x, plot.y}, {plot.x, plot.y + plot.height}, {plot.x + plot.width, plot.y + plot.height}}, 1,
              kFaint);
  canvas.text({18, plot.y + 0.5 * plot.height}, name_y, 12, kInk, Align::centre, true);
  if (name_x)
    canvas.text({plot.x + 0.5 * plot.width, plot.y + plot.height + 34}, "spindle speed, rev/min", 12, kInk,
                Align::centre);
}

/// The stable region as an area and the limit as a line, dashed where the period doubles. Open stretches have no line.
void draw_limit(Canvas& canvas, const Plot& plot, const std::vector<StabilityLimit>& limits) {
  std::vector<Spot> area{plot.at(limits.front().spindle_rpm, 0)};
  for (const StabilityLimit& limit : limits)
    area.push_back(plot.at(limit.spindle_rpm, std::min(limit.depth_mm, plot.to_y)));
  area.push_back(plot.at(limits.back().spindle_rpm, 0));
  canvas.fill(area, kStable);
  draw_axes(canvas, plot, "axial depth, mm", false);
  for (std::size_t i = 1; i < limits.size(); ++i) {
    const StabilityLimit& a = limits[i - 1];
    const StabilityLimit& b = limits[i];
    if (a.open && b.open) continue;
    const bool doubling = (b.open ? a : b).kind == ChatterKind::period_doubling;
    canvas.line({plot.at(a.spindle_rpm, std::min(a.depth_mm, plot.to_y)),
                 plot.at(b.spindle_rpm, std::min(b.depth_mm, plot.to_y))},
                2, kLimit, doubling);
  }
}

void draw_ring(Canvas& canvas, Spot centre, double radius) {
  std::vector<Spot> ring;
  for (int i = 0; i <= 24; ++i) {
    const double turn = i * 2.0 * cutting::kPi / 24;
    ring.push_back({centre.x + radius * std::cos(turn), centre.y + radius * std::sin(turn)});
  }
  canvas.line(ring, 1.8, kInk);
}

void draw_trials(Canvas& canvas, const Plot& plot, const StabilityPicture& picture) {
  for (const TrialMark& trial : picture.trials) {
    const Spot spot = plot.at(trial.spindle_rpm, trial.depth_mm);
    if (spot.x < plot.x || spot.x > plot.x + plot.width || spot.y < plot.y) continue;
    if (trial.chattered) {
      canvas.cross(spot, 4, 1.8, kChatter);
    } else {
      canvas.disc(spot, 3.4, kQuiet);
    }
  }
  if (!picture.now) return;
  if (picture.now->spindle_rpm < plot.from_x || picture.now->spindle_rpm > plot.to_x) return;
  draw_ring(canvas, plot.at(picture.now->spindle_rpm, std::min(picture.now->depth_mm, plot.to_y)), 8);
}

void draw_tones(Canvas& canvas, const Plot& plot, const std::vector<StabilityLimit>& limits) {
  draw_axes(canvas, plot, "tone at the limit, Hz", true);
  canvas.text({plot.x, plot.y - 8},
              "What a cut just over the limit would sing; where it jumps, another lobe or mode takes over.", 11,
              kFaint);
  for (const StabilityLimit& limit : limits) {
    if (limit.open || limit.chatter_hz > plot.to_y) continue;
    canvas.disc(plot.at(limit.spindle_rpm, limit.chatter_hz), 1.7, kLimit);
  }
}

/// What every mark and line means, in as many rows as it needs. Gives back how many; with `draw` false only counts.
int draw_legend(Canvas& canvas, const StabilityPicture& picture, double top, bool draw) {
  double x = kLeft;
  double y = top;
  int rows = 1;
  const auto entry = [&](const std::string& words, const auto& mark) {
    const double width = 24 + canvas.text_width(words, 11);
    if (x > kLeft && x + width > kWidth - kRight) {
      x = kLeft;
      y += kLegendRow;
      ++rows;
    }
    if (draw) {
      mark(Spot{x, y});
      canvas.text({x + 24, y + 4}, words, 11, kInk);
    }
    x += width + 22;
  };
  entry("stable", [&](Spot at) { canvas.fill_rectangle({at.x, at.y - 6}, 18, 12, kStable); });
  entry("limit: a tone between tooth multiples", [&](Spot at) { canvas.line({at, {at.x + 18, at.y}}, 2, kLimit); });
  const auto& limits = picture.chart.limits;
  if (std::any_of(limits.begin(), limits.end(),
                  [](const auto& l) { return !l.open && l.kind == ChatterKind::period_doubling; })) {
    entry("limit: half the tooth frequency", [&](Spot at) { canvas.line({at, {at.x + 18, at.y}}, 2, kLimit, true); });
  }
  if (picture.now) entry("the cut as entered", [&](Spot at) { draw_ring(canvas, {at.x + 9, at.y}, 6); });
  if (!picture.trials.empty()) {
    entry(picture.trials_name + ": quiet", [&](Spot at) { canvas.disc({at.x + 9, at.y}, 3.4, kQuiet); });
    entry(picture.trials_name + ": chatter", [&](Spot at) { canvas.cross({at.x + 9, at.y}, 4, 1.8, kChatter); });
  }
  return rows;
}

/// The words in lines that fit, broken at spaces; a word that is too long for any line is left as it is.
std::vector<std::string> wrapped(Canvas& canvas, const std::string& words, double size, double width) {
  std::vector<std::string> lines(1);
  std::istringstream rest(words);
  for (std::string word; rest >> word;) {
    std::string& line = lines.back();
    const std::string longer = line.empty() ? word : line + ' ' + word;
    if (line.empty() || canvas.text_width(longer, size) <= width) {
      line = longer;
    } else {
      lines.push_back(word);
    }
  }
  return lines;
}

}  // namespace

void write_stability_picture(const StabilityPicture& picture, const std::filesystem::path& file) {
  const std::vector<StabilityLimit>& limits = picture.chart.limits;
  if (limits.size() < 2) throw std::invalid_argument("the chart has fewer than two speeds; two or more would be right");
  const double inner = kWidth - kLeft - kRight;
  // How long legend and notes get decides how high the sheet is, so they are measured on a sheet that is thrown away.
  double top = kLegendTop;
  std::vector<std::string> note_lines;
  {
    Canvas ruler(kWidth, kLegendTop);
    top = kLegendTop + kLegendRow * draw_legend(ruler, picture, kLegendTop, false);
    for (const std::string& note : picture.notes) {
      for (std::string& line : wrapped(ruler, note, kNoteSize, inner)) note_lines.push_back(std::move(line));
    }
  }
  const double notes_height = kNoteLine * static_cast<double>(note_lines.size() + 1) + 14;
  const double height = top + kDepthHeight + kBetween + kToneHeight + 52 + notes_height;
  Canvas canvas(file, kWidth, height);
  canvas.fill_rectangle({0, 0}, kWidth, height, kPaper);
  canvas.text({kLeft, 30}, picture.title, 18, kInk);
  canvas.text({kLeft, 49}, picture.subtitle, 12, kFaint);

  double deepest = 0;
  double lowest_hz = 1e9;
  double highest_hz = 0;
  for (const StabilityLimit& limit : limits) {
    deepest = std::max(deepest, limit.depth_mm);
    if (limit.open) continue;
    lowest_hz = std::min(lowest_hz, limit.chatter_hz);
    highest_hz = std::max(highest_hz, limit.chatter_hz);
  }
  for (const TrialMark& trial : picture.trials) deepest = std::max(deepest, trial.depth_mm);
  if (highest_hz == 0) lowest_hz = 0, highest_hz = 1000;
  const double room_hz = std::max(0.08 * (highest_hz - lowest_hz), 10.0);
  const Plot depth{kLeft, top,           inner, kDepthHeight, limits.front().spindle_rpm, limits.back().spindle_rpm,
                   0,     1.04 * deepest};
  const Plot tones{kLeft,
                   top + kDepthHeight + kBetween,
                   inner,
                   kToneHeight,
                   depth.from_x,
                   depth.to_x,
                   std::max(lowest_hz - room_hz, 0.0),
                   highest_hz + room_hz};
  draw_limit(canvas, depth, limits);
  draw_trials(canvas, depth, picture);
  draw_legend(canvas, picture, kLegendTop, true);
  draw_tones(canvas, tones, limits);

  double y = tones.y + tones.height + 58;
  for (const std::string& line : note_lines) {
    canvas.text({kLeft, y}, line, kNoteSize, kFaint);
    y += kNoteLine;
  }
  canvas.text({kLeft, y}, kCaution, kNoteSize, kInk);
  canvas.finish();
}

}  // namespace hushmill::picture
