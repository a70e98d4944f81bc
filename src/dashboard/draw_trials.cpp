#include <algorithm>
#include <cmath>
#include <numbers>

#include "dashboard/instruments.hpp"

namespace hushmill::dashboard {
namespace {

constexpr float kTrialRow = 19;  // units

std::optional<advise::Outcome> shape_of(trial::Outcome outcome) {
  switch (outcome) {
    case trial::Outcome::held:
      return advise::Outcome::held;
    case trial::Outcome::returned:
      return advise::Outcome::returned;
    case trial::Outcome::chattered:
      return advise::Outcome::chattered;
    case trial::Outcome::not_enough:
      break;
  }
  return std::nullopt;
}

void draw_row(Canvas& canvas, const Rect& row, const TrialRow& trial, bool now) {
  const Theme& theme = canvas.theme();
  const float r = canvas.px(5);
  const Point at{row.x + r, row.middle_y()};
  const auto shape = trial.believed ? shape_of(trial.outcome) : std::nullopt;
  if (shape)
    draw_trial_mark(canvas, at, r, *shape);
  else
    canvas.ring(at, r * 0.7F, theme.mark, canvas.px(1.2F));
  const Rect speed{row.x + canvas.px(16), row.y, canvas.px(50), row.h};
  const Weight weight = now ? Weight::bold : Weight::regular;
  canvas.text(speed, trial.speed, {.size = 13, .weight = weight, .colour = theme.ink});
  const Rect words{speed.right() + canvas.px(4), row.y, row.right() - speed.right() - canvas.px(4), row.h};
  canvas.text(words, trial.words, {.size = 13, .weight = weight, .colour = now ? theme.ink : theme.dim});
}

}  // namespace

void draw_trial_mark(Canvas& canvas, Point at, float r, advise::Outcome outcome) {
  const Theme& theme = canvas.theme();
  const float stroke = std::max(1.5F, r * 0.34F);
  switch (outcome) {
    case advise::Outcome::held:
      canvas.disc(at, r * 0.8F, theme.normal_edge);
      break;
    case advise::Outcome::chattered:
      canvas.line({at.x - r * 0.8F, at.y - r * 0.8F}, {at.x + r * 0.8F, at.y + r * 0.8F}, theme.danger_edge, stroke);
      canvas.line({at.x - r * 0.8F, at.y + r * 0.8F}, {at.x + r * 0.8F, at.y - r * 0.8F}, theme.danger_edge, stroke);
      break;
    case advise::Outcome::returned: {
      const float pi = std::numbers::pi_v<float>;
      canvas.arc(at, r * 0.8F, -0.35F * pi, 1.35F * pi, theme.abnormal_edge, stroke);
      const Point tip{at.x + r * 0.8F * std::cos(-0.35F * pi), at.y + r * 0.8F * std::sin(-0.35F * pi)};
      canvas.polygon({{tip.x - r * 0.75F, tip.y - r * 0.25F},
                      {tip.x + r * 0.3F, tip.y - r * 0.6F},
                      {tip.x + r * 0.2F, tip.y + r * 0.5F}},
                     theme.abnormal_edge);
      break;
    }
  }
}

void draw_trials(Canvas& canvas, const Rect& rect, const TrialsView& view) {
  const Theme& theme = canvas.theme();
  Rect inside = draw_panel(canvas, rect, "Trials", view.best);
  const float row = canvas.px(kTrialRow);
  const auto take = [&] {
    const Rect taken = inside.top(row);
    inside = inside.below(row);
    return taken;
  };
  const auto room = [&] { return inside.h >= row - canvas.px(1); };
  if (!view.offer.empty())
    canvas.text(take(), view.offer, {.size = 13, .weight = Weight::bold, .colour = theme.abnormal_text});
  if (view.now.speed.empty()) return;
  draw_row(canvas, take(), view.now, view.running);
  if (!view.wanted.empty() && room()) canvas.text(take(), view.wanted, {.size = 12, .colour = theme.dim});
  if (!view.marks.empty() && room()) canvas.text(take(), view.marks, {.size = 12, .colour = theme.dim});
  for (const TrialRow& trial : view.earlier) {
    if (!room()) return;
    draw_row(canvas, take(), trial, false);
  }
}

}  // namespace hushmill::dashboard
