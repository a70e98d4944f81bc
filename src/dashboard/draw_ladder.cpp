#include <algorithm>
#include <cmath>

#include "dashboard/instruments.hpp"
#include "dashboard/numbers.hpp"

namespace hushmill::dashboard {
namespace {

/// Where things stand across the ladder's width.
struct Lanes {
  Rect body;
  float trials_x = 0, knob_right = 0, scale_x = 0, numbers_x = 0, arrow_x = 0, pockets_x = 0, pockets_right = 0;
};

Lanes lanes_of(const Canvas& canvas, const Rect& inside) {
  Lanes lanes;
  lanes.body = inside.inset(0, canvas.px(8));
  lanes.body.h -= canvas.px(18);  // the legend's row
  const float x = inside.x;
  lanes.trials_x = x + canvas.px(8);
  lanes.knob_right = x + canvas.px(66);
  lanes.scale_x = x + canvas.px(100);
  lanes.numbers_x = lanes.scale_x + canvas.px(8);
  lanes.arrow_x = lanes.scale_x + canvas.px(66);
  lanes.pockets_x = lanes.scale_x + canvas.px(80);
  lanes.pockets_right = inside.right();
  return lanes;
}

float y_of(const Lanes& lanes, const LadderView& view, double rpm) {
  return lanes.body.bottom() - static_cast<float>(view.rpm.share(rpm)) * lanes.body.h;
}

/// Keeps labels from running into each other: true when `y` is far enough from all that were taken.
class Places {
 public:
  explicit Places(float apart) : apart_(apart) {}
  bool take(float y) {
    for (const float other : taken_) {
      if (std::abs(other - y) < apart_) return false;
    }
    taken_.push_back(y);
    return true;
  }
  /// The nearest free place to y within the bounds.
  float nearest(float y, float from, float to) {
    for (float off = 0; off < to - from; off += 1) {
      for (const float at : {y - off, y + off}) {
        if (at >= from && at <= to && take(at)) return at;
      }
    }
    return y;
  }

 private:
  float apart_;
  Few<float, 256> taken_;
};

/// The step that is set, or one that an arrow points at: its label goes before all others.
bool matters(const LadderView& view, const KnobStep& step) {
  return step.present || std::any_of(view.arrows.begin(), view.arrows.end(), [&](const AdviceArrow& arrow) { return std::abs(arrow.to_rpm - step.rpm) < 0.5; });
}

void draw_scale(Canvas& canvas, const Lanes& lanes, const LadderView& view, Places& pointer_side) {
  const Theme& theme = canvas.theme();
  for (const Barred& zone : view.barred) {
    const float top = y_of(lanes, view, zone.to_rpm), foot = y_of(lanes, view, zone.from_rpm);
    const Rect rect{lanes.scale_x, top, lanes.pockets_right - lanes.scale_x, foot - top};
    canvas.hatch(rect, theme.mark, canvas.px(7), canvas.px(1));
    canvas.line({rect.x, zone.from_rpm <= view.rpm.from ? rect.y : rect.bottom()},
                {rect.right(), zone.from_rpm <= view.rpm.from ? rect.y : rect.bottom()}, theme.ink, canvas.px(1.5F));
  }
  canvas.line({lanes.scale_x, lanes.body.y}, {lanes.scale_x, lanes.body.bottom()}, theme.mark, canvas.px(1.5F));
  for (const Tick& tick : ticks(view.rpm, static_cast<double>(canvas.px(26) / lanes.body.h))) {
    const float y = y_of(lanes, view, tick.value);
    canvas.line({lanes.scale_x, y}, {lanes.scale_x + canvas.px(6), y}, theme.mark, canvas.px(1.5F));
    const bool barred = std::any_of(view.barred.begin(), view.barred.end(), [&](const Barred& zone) {
      return tick.value > zone.from_rpm - 1e-6 && tick.value < zone.to_rpm + 1e-6;
    });
    if (barred) continue;  // its label stands on the hatching
    canvas.number({lanes.numbers_x, y - canvas.px(9), lanes.arrow_x - lanes.numbers_x - canvas.px(8), canvas.px(18)},
                  Spellings{grouped(tick.value), trimmed(tick.value / 1000, 1) + kThinGap + "k"},
                  {.size = 12, .colour = theme.dim});
  }
  for (const KnobStep& step : view.knob) {
    const float y = y_of(lanes, view, step.rpm);
    const bool labelled = matters(view, step) || pointer_side.take(y);
    const float length = canvas.px(labelled || step.present ? 26 : 12);
    canvas.line({lanes.scale_x - length, y}, {lanes.scale_x, y}, step.present ? theme.ink : theme.mark,
                canvas.px(step.present ? 2.0F : 1.2F));
    if (labelled) {
      canvas.text({lanes.trials_x + canvas.px(12), y - canvas.px(9), lanes.knob_right - lanes.trials_x - canvas.px(12),
                   canvas.px(18)},
                  trimmed(step.percent, 1) + kThinGap + "%",
                  {.size = step.present ? 13.0F : 12.0F, .weight = step.present ? Weight::bold : Weight::regular, .colour = step.present ? theme.ink : theme.dim, .x = AlignX::right});
    }
  }
}

void draw_pockets(Canvas& canvas, const Lanes& lanes, const LadderView& view) {
  const Theme& theme = canvas.theme();
  const float lane = lanes.pockets_right - lanes.pockets_x;
  Places labels(canvas.px(34));
  for (const Barred& zone : view.barred) {  // the barred zones' labels go first
    const float middle = (y_of(lanes, view, zone.from_rpm) + y_of(lanes, view, zone.to_rpm)) / 2;
    const float at = labels.nearest(middle, lanes.body.y, lanes.body.bottom());
    const Rect room{lanes.numbers_x + canvas.px(4), at - canvas.px(9),
                    lanes.pockets_right - lanes.numbers_x - canvas.px(8), canvas.px(18)};
    const float width = std::min(room.w, canvas.width_px(zone.label, 12, Weight::regular) + canvas.px(8));
    canvas.fill({room.right() - width, room.y, width, room.h}, theme.panel, canvas.px(3));
    canvas.text(room.inset(canvas.px(3), 0), zone.label, {.size = 12, .colour = theme.ink, .x = AlignX::right});
  }
  for (const Pocket& pocket : view.pockets) {
    const float peak = y_of(lanes, view, pocket.peak_rpm);
    const Rgb edge = theme.edge(pocket.tone);
    const float x = lanes.pockets_x + canvas.px(4);
    if (pocket.by_tap) continue;
    const float reach = static_cast<float>(pocket.reach) * (lane * 0.6F);
    const float foot = y_of(lanes, view, pocket.from_rpm), top = y_of(lanes, view, pocket.to_rpm);
    if (pocket.width_known) {
      canvas.polygon({{x, top}, {x + reach, peak}, {x, foot}}, theme.fill(pocket.tone), 0.5);
      canvas.polygon_outline({{x, top}, {x + reach, peak}, {x, foot}}, edge, canvas.px(1.5F));
      canvas.mark("pocket top", x, top);
      canvas.mark("pocket peak", x + reach, peak);
      canvas.mark("pocket foot", x, foot);
    } else {
      canvas.line({x, peak}, {x + reach, peak}, edge, canvas.px(2.5F));
      canvas.mark("pocket tick", x, peak);
    }
    // Under the pocket, so that the label never covers it.
    const float lowest = lanes.body.bottom() - canvas.px(8);
    const float at = labels.nearest(std::max(foot, peak) + canvas.px(13), lanes.body.y + canvas.px(8), lowest);
    const Words words = pocket.warning.empty() ? pocket.label : pocket.warning;
    canvas.text({x, at - canvas.px(9), lanes.pockets_right - x, canvas.px(34)}, words,
                {.size = 12, .colour = pocket.first ? theme.ink : theme.dim, .y = AlignY::top, .lines = 2});
  }
}

/// Speeds that taps call likely quiet: a tick, and beside it the speed itself, or nothing where others stand too near.
void draw_tapped(Canvas& canvas, const Lanes& lanes, const LadderView& view) {
  const Theme& theme = canvas.theme();
  const float x = lanes.pockets_x + canvas.px(4);
  Places labels(canvas.px(16));
  for (const Pocket& pocket : view.pockets) {
    if (!pocket.by_tap) continue;
    const float y = y_of(lanes, view, pocket.peak_rpm);
    const float length = canvas.px(8 + 14 * static_cast<float>(pocket.reach));
    const Rgb edge = theme.edge(pocket.tone);
    canvas.mark("tapped tick", x, y);
    if (pocket.hollow) {
      const float half = canvas.px(2.5F);
      canvas.polygon_outline({{x, y - half}, {x + length, y - half}, {x + length, y + half}, {x, y + half}}, edge, canvas.px(1));
    } else {
      canvas.line({x, y}, {x + length, y}, edge, canvas.px(2.5F));
    }
    if (!labels.take(y)) continue;
    canvas.text({x + canvas.px(28), y - canvas.px(9), lanes.pockets_right - x - canvas.px(28), canvas.px(18)}, pocket.label,
                {.size = 12, .colour = theme.dim});
  }
}

void draw_arrows(Canvas& canvas, const Lanes& lanes, const LadderView& view) {
  const Theme& theme = canvas.theme();
  for (const AdviceArrow& arrow : view.arrows) {
    const float from = y_of(lanes, view, arrow.from_rpm), to = y_of(lanes, view, arrow.to_rpm);
    const float way = to > from ? 1.0F : -1.0F, head = std::min(canvas.px(arrow.first ? 12 : 9), std::abs(to - from));
    const float half = canvas.px(arrow.first ? 7 : 5), x = lanes.arrow_x;
    const Point tip{x, to}, left{x - half, to - way * head}, right{x + half, to - way * head};
    if (arrow.first) {
      canvas.line({x, from}, {x, to - way * head}, theme.ink, canvas.px(4));
      canvas.polygon({tip, right, left}, theme.ink);
    } else {
      canvas.line({x, from}, {x, to - way * head}, theme.ink, canvas.px(1.2F));
      canvas.polygon_outline({tip, right, left}, theme.ink, canvas.px(1.2F));
    }
    canvas.mark(arrow.first ? "first arrow" : "other arrow", tip.x, tip.y);
  }
}

void draw_legend(Canvas& canvas, const Rect& inside, bool tapped) {
  const Theme& theme = canvas.theme();
  const float y = inside.bottom() - canvas.px(6), r = canvas.px(4.5F);
  if (tapped) {  // before any chatter, so without marks of it
    const float length = canvas.px(14), half = canvas.px(2.5F);
    canvas.line({inside.x, y - half}, {inside.x + length, y - half}, theme.edge(Tone::neutral), canvas.px(2.5F));
    canvas.text({inside.x + length + canvas.px(6), y - canvas.px(9), inside.w - length - canvas.px(6), canvas.px(18)},
                "likely quiet near here, by the taps", {.size = 12, .colour = theme.dim});
    return;
  }
  float x = inside.x + r;
  for (const auto& [outcome, words] :
       {std::pair{advise::Outcome::chattered, "chattered"}, std::pair{advise::Outcome::returned, "came back"},
        std::pair{advise::Outcome::held, "held"}}) {
    draw_trial_mark(canvas, {x, y}, r, outcome);
    const Rect used =
        canvas.text({x + r + canvas.px(5), y - canvas.px(9), inside.right() - x - r - canvas.px(5), canvas.px(18)},
                    words, {.size = 12, .colour = theme.dim});
    x = used.right() + canvas.px(14) + r;
  }
}

}  // namespace

void draw_ladder(Canvas& canvas, const Rect& rect, const LadderView& view) {
  const Theme& theme = canvas.theme();
  const Rect inside = draw_panel(canvas, rect, "Speed ladder", "rev/min");
  const Lanes lanes = lanes_of(canvas, inside);
  if (lanes.body.h < canvas.px(60) || !(view.rpm.to > view.rpm.from)) return;

  Places pointer_side(canvas.px(17));
  const float pointer = std::clamp(y_of(lanes, view, view.pointer_rpm), lanes.body.y, lanes.body.bottom());
  for (const KnobStep& step : view.knob)
    if (matters(view, step)) pointer_side.take(y_of(lanes, view, step.rpm));
  // The pointer's words stand under it where there is room, else in the nearest free place.
  const float words_y = pointer_side.nearest(pointer + canvas.px(17), lanes.body.y, lanes.body.bottom() - canvas.px(9));
  draw_scale(canvas, lanes, view, pointer_side);
  draw_pockets(canvas, lanes, view);
  draw_tapped(canvas, lanes, view);
  draw_arrows(canvas, lanes, view);

  const float size = canvas.px(9);
  const Point tip{lanes.scale_x, pointer}, top{tip.x - size * 1.7F, tip.y - size},
      foot{tip.x - size * 1.7F, tip.y + size};
  if (view.measured_rpm) {
    canvas.polygon({tip, foot, top}, theme.fill(view.pointer_tone));
  } else {
    canvas.polygon({tip, foot, top}, theme.panel);
  }
  canvas.polygon_outline({tip, foot, top}, theme.edge(view.pointer_tone), canvas.px(1.5F));
  canvas.mark("pointer", tip.x, tip.y);
  canvas.text({inside.x, words_y - canvas.px(9), lanes.scale_x - canvas.px(4) - inside.x, canvas.px(18)},
              view.pointer_label,
              {.size = 12, .weight = Weight::bold, .colour = theme.text(view.pointer_tone), .x = AlignX::right});

  for (const TrialMark& trial : view.trials) {
    const float y = y_of(lanes, view, trial.rpm);
    draw_trial_mark(canvas, {lanes.trials_x, y}, canvas.px(6), trial.outcome);
    canvas.mark("trial", lanes.trials_x, y);
  }
  draw_legend(canvas, inside, std::any_of(view.pockets.begin(), view.pockets.end(), [](const Pocket& pocket) { return pocket.by_tap; }));
}

}  // namespace hushmill::dashboard
