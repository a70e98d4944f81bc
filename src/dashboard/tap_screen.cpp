#include "dashboard/tap_screen.hpp"

#include <algorithm>
#include <cmath>

#include "dashboard/instruments.hpp"
#include "dashboard/numbers.hpp"
#include "dashboard/plain_window.hpp"
#include "dashboard/tap_view.hpp"

namespace hushmill::dashboard {
namespace {

constexpr double kFloorDb = -90, kTopDb = 0;

struct Places {
  Rect head, steps, cautions, sound, ring, modes, pockets, compared, status;
};

Places places(float w, float h, float u) {
  const float gap = std::round(8 * u);
  Rect all = Rect{0, 0, w, h}.inset(gap);
  Places at;
  at.status = {all.x, all.bottom() - 24 * u, all.w, 24 * u};
  all.h -= at.status.h + gap;
  at.head = all.top(58 * u);
  all = all.below(at.head.h + gap);
  const float left = std::round(all.w * 0.35F);
  Rect column = all.left(left);
  at.cautions = column.top(146 * u);
  at.steps = column.below(at.cautions.h + gap);
  Rect rest = all.after(left + gap);
  const Rect upper = rest.top(std::round(rest.h * 0.36F));
  at.sound = upper.left(std::round(upper.w * 0.62F));
  at.ring = upper.after(at.sound.w + gap);
  rest = rest.below(upper.h + gap);
  const Rect middle = rest.top(std::round(rest.h * 0.66F));
  at.modes = middle.left(std::round(middle.w * 0.62F));
  at.pockets = middle.after(at.modes.w + gap);
  at.compared = rest.below(middle.h + gap);
  return at;
}

void draw_head(Canvas& canvas, const Rect& rect, const live::TapState& state) {
  const Theme& theme = canvas.theme();
  canvas.enter("Tap test");
  canvas.fill(rect, theme.panel, canvas.px(6));
  const Rect inside = rect.inset(canvas.px(14), canvas.px(6));
  std::string words = "Tap test";
  Tone tone = Tone::neutral;
  switch (state.step) {
    case live::TapStep::cautions:
      words = "First: is the spindle stopped and locked out? Enter when it is.";
      break;
    case live::TapStep::room:
      words = state.news.empty() ? "Quiet, please: the room is heard." : state.news;
      break;
    case live::TapStep::tapping:
      words = "Tap the " +
              std::string(state.on == setup::TappedOn::tool   ? "tool"
                          : state.on == setup::TappedOn::part ? "part"
                                                              : "machine") +
              ": " + std::to_string(state.findings.tap_s.size()) + " of 5 taps";
      break;
    case live::TapStep::done:
      words = "Done: " + counted(static_cast<int>(state.findings.modes.size())) +
              (state.findings.modes.size() == 1 ? " mode" : " modes"),
      tone = Tone::normal;
      break;
  }
  if (!state.trouble.empty() && state.findings.tap_s.empty())
    words = state.trouble;
  else if (!state.running && state.step != live::TapStep::done)
    words = state.findings.tap_s.empty()
                ? state.findings.rejected.empty() ? "The sound is at its end, and no tap was heard."
                                                  : "The sound is at its end: taps were heard, and none of them counts."
                : "The sound is at its end: " + std::to_string(state.findings.tap_s.size()) + " taps";
  canvas.text(inside, words,
              {.size = 30, .weight = Weight::bold, .colour = tone == Tone::neutral ? theme.ink : theme.text(tone)});
}

void draw_steps(Canvas& canvas, const Rect& rect, const TapView& view) {
  const Theme& theme = canvas.theme();
  Rect inside = draw_panel(canvas, rect, "Step by step");
  const float sign = canvas.px(24), status = canvas.px(84);
  // Each has room for its words, so that none is set smaller than the others: lines of about 34 letters, and a gap.
  const auto room_for = [](const TapGuide& step) { return std::ceil(static_cast<float>(step.words.size()) / 34.0F) + 0.6F; };
  float all = 0;
  for (const auto& step : view.steps) all += room_for(step);
  float y = inside.y;
  for (const auto& step : view.steps) {
    const Rect line{inside.x, y, inside.w, inside.h * room_for(step) / all};
    y = line.bottom();
    const Point middle{line.x + canvas.px(8), line.y + canvas.px(11)};
    // A full disc is done, a thick ring is now, a thin ring is still to come.
    if (step.done)
      canvas.disc(middle, canvas.px(7), theme.fill(Tone::normal));
    else
      canvas.ring(middle, canvas.px(6), step.now ? theme.ink : theme.dim, canvas.px(step.now ? 3 : 1));
    canvas.text({line.x + sign, line.y, line.w - sign - status, line.h - canvas.px(4)}, step.words,
                {.size = 15,
                 .weight = step.now ? Weight::bold : Weight::regular,
                 .colour = step.now || step.done ? theme.ink : theme.dim,
                 .y = AlignY::top,
                 .lines = 5});
    canvas.text({line.right() - status, line.y, status, canvas.px(22)}, step.status,
                {.size = 15, .weight = Weight::bold, .colour = theme.ink, .x = AlignX::right});
  }
}

void draw_tap_cautions(Canvas& canvas, const Rect& rect) {
  const Theme& theme = canvas.theme();
  canvas.enter("Cautions");
  canvas.fill(rect, theme.panel, canvas.px(6));
  canvas.outline(rect, theme.edge(Tone::abnormal), canvas.px(1.5F), canvas.px(6));
  Rect inside = rect.inset(canvas.px(10), canvas.px(7));
  bool first = true;
  for (const auto& caution : tap_cautions()) {
    const Rect used = canvas.text(inside, caution,
                                  {.size = first ? 15.0F : 13.0F,
                                   .weight = first ? Weight::bold : Weight::regular,
                                   .colour = first ? theme.ink : theme.dim,
                                   .y = AlignY::top,
                                   .lines = 3});
    inside = inside.below(used.h + canvas.px(5));
    first = false;
  }
}

void draw_sound(Canvas& canvas, const Rect& rect, const live::TapState& state, const TapView& view) {
  const Theme& theme = canvas.theme();
  const Rect inside = draw_panel(canvas, rect, "Live sound", state.source);
  canvas.fill(inside, theme.well, canvas.px(3));
  canvas.clip(inside);
  const auto points = static_cast<std::size_t>(state.picture_s / 0.02);
  std::vector<Point> curve;
  for (std::size_t i = 0; i < state.loudness_dbfs.size(); ++i) {
    const float x = inside.right() - inside.w * static_cast<float>(state.loudness_dbfs.size() - 1 - i) /
                                         static_cast<float>(std::max<std::size_t>(2, points));
    const double share =
        std::clamp((static_cast<double>(state.loudness_dbfs[i]) - kFloorDb) / (kTopDb - kFloorDb), 0.0, 1.0);
    curve.push_back({x, inside.bottom() - inside.h * 0.86F * static_cast<float>(share)});
  }
  if (curve.size() > 1) canvas.curve(curve, theme.ink, canvas.px(1.8F));
  for (const auto& mark : view.marks) {
    const float x = inside.x + inside.w * static_cast<float>(mark.share);
    canvas.dashed({x, inside.y}, {x, inside.bottom()}, theme.mark, canvas.px(1), canvas.px(4));
    if (mark.counts)
      canvas.disc({x, inside.y + canvas.px(11)}, canvas.px(6), theme.fill(Tone::normal));
    else
      draw_trial_mark(canvas, {x, inside.y + canvas.px(11)}, canvas.px(6), advise::Outcome::chattered);
    canvas.mark(mark.counts ? "tap counts" : "tap left out", x, inside.y);
    if (!mark.counts)
      canvas.text({x + canvas.px(10), inside.y + canvas.px(2), canvas.px(90), canvas.px(18)}, mark.why,
                  {.size = 12, .colour = theme.text(Tone::danger)});
  }
  canvas.unclip();
}

void draw_ring(Canvas& canvas, const Rect& rect, const live::TapState& state) {
  const Theme& theme = canvas.theme();
  const Rect inside = draw_panel(canvas, rect, "The last tap", "80 ms");
  canvas.fill(inside, theme.well, canvas.px(3));
  if (state.ring.size() < 2) return;
  std::vector<Point> curve;
  for (std::size_t i = 0; i < state.ring.size(); ++i)
    curve.push_back({inside.x + inside.w * static_cast<float>(i) / static_cast<float>(state.ring.size() - 1),
                     inside.middle_y() - inside.h * 0.47F * state.ring[i]});
  canvas.curve(curve, theme.ink, canvas.px(1.5F));
}

void draw_modes(Canvas& canvas, const Rect& rect, const live::TapState& state, const TapView& view) {
  const Theme& theme = canvas.theme();
  Rect inside =
      draw_panel(canvas, rect, "Modes",
                 state.findings.tap_s.empty()                                                   ? ""
                 : static_cast<std::size_t>(state.taps_in_modes) == state.findings.tap_s.size() ? "of all taps"
                                                                                                : "a tap rings still");
  const auto row = [&](const TapRow& one, Rgb colour, Weight weight) {
    const Rect line = inside.top(canvas.px(24));
    const float w = line.w;
    const auto cell = [&](float from, float to, const std::string& words) {
      canvas.text({line.x + w * from, line.y, w * (to - from) - canvas.px(6), line.h}, words,
                  {.size = 15, .weight = weight, .colour = colour});
    };
    cell(0, 0.34F, one.hz);
    cell(0.34F, 0.63F, one.damping);
    cell(0.63F, 0.77F, one.taps);
    cell(0.77F, 1, one.remark.empty() ? one.level : one.remark);
    inside = inside.below(canvas.px(26));
  };
  row({"natural frequency, Hz", "damping ratio, %", "taps", "strength", "", false}, theme.dim, Weight::regular);
  if (view.rows.empty()) {
    canvas.text(inside.top(canvas.px(24)), "None yet.", {.size = 15, .colour = theme.dim});
    inside = inside.below(canvas.px(28));
  }
  for (const auto& one : view.rows) {
    if (inside.h < canvas.px(50)) break;
    row(one, one.weak ? theme.text(Tone::abnormal) : theme.ink, Weight::bold);
  }
  for (const auto& warning : view.warnings) {
    const int lines = std::min(2, static_cast<int>(inside.h / canvas.px(18)));
    if (lines < 1) return;
    const Rect used = canvas.text(inside, warning,
                                  {.size = 13, .colour = theme.text(Tone::abnormal), .y = AlignY::top, .lines = lines});
    inside = inside.below(used.h + canvas.px(4));
  }
}

/// A ladder as on the dashboard: speeds upward, a tick where whole waves fit between the teeth.
void draw_pockets(Canvas& canvas, const Rect& rect, const TapView& view) {
  const Theme& theme = canvas.theme();
  Rect inside = draw_panel(canvas, rect, "Likely quiet speeds", "rev/min");
  canvas.text(inside.top(canvas.px(20)),
              view.pockets_head.empty() ? "Flutes: Up and Down." : view.pockets_head + " (Up, Down)",
              {.size = 13, .colour = theme.dim});
  inside = inside.below(canvas.px(24));
  const Rect foot{inside.x, inside.bottom() - canvas.px(36), inside.w, canvas.px(36)};
  inside.h -= foot.h;
  canvas.text(foot, "Relative: a microphone gives no stiffness, so no depth. Never above a limit.",
              {.size = 12, .colour = theme.dim, .lines = 2});
  const auto rows = std::min(view.pockets.size(), static_cast<std::size_t>(std::max(1.0F, inside.h / canvas.px(20))));
  canvas.line({inside.x + canvas.px(10), inside.y}, {inside.x + canvas.px(10), inside.bottom()}, theme.mark,
              canvas.px(1.5F));
  for (std::size_t i = 0; i < rows; ++i) {
    const Rect line{inside.x, inside.y + static_cast<float>(i) * canvas.px(20), inside.w, canvas.px(20)};
    // Fewer waves, wider pocket.
    const float reach = canvas.px(34) / static_cast<float>(view.pockets[i].waves);
    canvas.line({line.x + canvas.px(10), line.middle_y()}, {line.x + canvas.px(12) + reach, line.middle_y()},
                theme.fill(Tone::normal), canvas.px(5));
    canvas.mark("pocket tick", line.x, line.middle_y());
    canvas.text(line.after(canvas.px(54)), view.pockets[i].words, {.size = 14, .colour = theme.ink});
  }
}

void draw_compared(Canvas& canvas, const Rect& rect, const TapView& view) {
  const Theme& theme = canvas.theme();
  Rect inside = draw_panel(canvas, rect, "Tool, part, machine");
  if (view.compared.empty()) {
    canvas.text(inside,
                "Nothing is kept yet. Tap both tool and part: then chatter can be told to be the one's or the other's.",
                {.size = 14, .colour = theme.dim, .y = AlignY::top, .lines = 3});
    return;
  }
  for (const auto& words : view.compared) {
    const int lines = std::min(2, static_cast<int>(inside.h / canvas.px(18)));
    if (lines < 1) return;
    const Rect used = canvas.text(inside, words, {.size = 14, .colour = theme.ink, .y = AlignY::top, .lines = lines});
    inside = inside.below(used.h + canvas.px(4));
  }
}

}  // namespace

float tap_unit(float width_px, float height_px, float) noexcept {
  return std::max(0.25F, std::min(width_px / 1280, height_px / 720));
}

void draw_taps(Canvas& canvas, float width_px, float height_px, const live::TapState& state) {
  const TapView view = prepare_taps(state);
  const Places at = places(width_px, height_px, canvas.unit());
  draw_head(canvas, at.head, state);
  draw_tap_cautions(canvas, at.cautions);
  draw_steps(canvas, at.steps, view);
  draw_sound(canvas, at.sound, state, view);
  draw_ring(canvas, at.ring, state);
  draw_modes(canvas, at.modes, state, view);
  draw_pockets(canvas, at.pockets, view);
  draw_compared(canvas, at.compared, view);
  const Theme& theme = canvas.theme();
  canvas.enter("Status");
  const Rect used = canvas.text(at.status,
                                "1 2 3 what is tapped" + std::string(kDot) + "R again" + kDot + "K keep" + kDot +
                                    "T colours" + kDot + "Esc leave",
                                {.size = 13, .colour = theme.dim, .x = AlignX::right});
  const bool wrong = !state.trouble.empty();
  canvas.text(at.status.left(at.status.w - used.w - canvas.px(16)), wrong ? state.trouble : state.news,
              {.size = 13, .colour = wrong ? theme.text(Tone::abnormal) : theme.ink});
}

void take_taps_input(const live::TapState& state, TapsLook& look, const Input& input,
                     std::vector<live::TapCommand>& commands) {
  for (const std::string& key : input.keys) {
    if (key == "Enter" && state.step == live::TapStep::cautions) commands.emplace_back(live::StartTaps{});
    if (key == "1") commands.emplace_back(live::TapOn{setup::TappedOn::tool});
    if (key == "2") commands.emplace_back(live::TapOn{setup::TappedOn::part});
    if (key == "3") commands.emplace_back(live::TapOn{setup::TappedOn::machine});
    if (key == "R") commands.emplace_back(live::TapAgain{});
    if (key == "K") commands.emplace_back(live::KeepTaps{});
    if (key == "Up") commands.emplace_back(live::TapFlutes{state.flutes + 1});
    if (key == "Down") commands.emplace_back(live::TapFlutes{state.flutes - 1});
    if (key == "T") look.light = !look.light;
    if (key == "F11") look.full_screen = !look.full_screen;
    if (key == "Esc" || key == "Ctrl+Q") look.leave_wanted = true;
  }
}

int run_taps(const DashboardSettings& settings, const TapsDoor& door) {
  live::TapState state;
  TapsLook look{settings.light_theme, settings.full_screen, false};
  PlainScreen screen;
  screen.poll = [&] {
    bool newer = false;
    while (door.poll(state)) newer = true;
    return newer;
  };
  screen.unit = tap_unit;
  screen.light = [&] { return look.light; };
  screen.full_screen = [&] { return look.full_screen; };
  screen.leave = [&] { return look.leave_wanted; };
  screen.frame = [&](Canvas& canvas, float width, float height, float, const Input& input) {
    std::vector<live::TapCommand> commands;
    take_taps_input(state, look, input, commands);
    for (const auto& command : commands) door.send(command);
    draw_taps(canvas, width, height, state);
  };
  return run_plain_window(settings, screen);
}

}  // namespace hushmill::dashboard
