#include <algorithm>
#include <cmath>
#include <vector>

#include "dashboard/lessons_screen.hpp"
#include "dashboard/numbers.hpp"

namespace hushmill::dashboard {
namespace {

/// A fork upright: two tines and a stem. The tines' width of swing is drawn as far as they go.
void draw_fork(Canvas& canvas, const Rect& rect, float swing, const std::string& name, float large) {
  const Theme& theme = canvas.theme();
  const float half = std::min(rect.w * 0.16F, canvas.px(34)), foot = rect.bottom() - canvas.px(30 * large);
  const float neck = rect.y + (foot - rect.y) * 0.72F, top = rect.y + canvas.px(4), stroke = canvas.px(7);
  const float reach = std::min(half * 0.75F, canvas.px(24)) * std::clamp(swing, 0.0F, 1.0F);
  for (const float side : {-1.0F, 1.0F}) {
    const float x = rect.middle_x() + side * half;
    // A tine bends most at its free end.
    for (const float way : {-1.0F, 1.0F}) {
      std::vector<Point> tine;
      for (int i = 0; i <= 12; ++i) {
        const float up = static_cast<float>(i) / 12;
        tine.push_back({x + way * reach * up * up, neck + (top - neck) * up});
      }
      canvas.curve(tine, theme.ink, stroke, reach > canvas.px(1) ? 0.55 : 0.5);
    }
    if (reach > canvas.px(1)) canvas.polygon({{x - reach, top}, {x + reach, top}, {x, neck}}, theme.ink, 0.18);
    canvas.line({x, neck}, {rect.middle_x(), neck + half * 0.8F}, theme.mark, stroke);
  }
  canvas.line({rect.middle_x(), neck + half * 0.8F}, {rect.middle_x(), foot}, theme.mark, stroke);
  canvas.text({rect.x, foot + canvas.px(4), rect.w, rect.bottom() - foot - canvas.px(4)}, name,
              {.size = 17 * large, .weight = Weight::bold, .colour = theme.ink, .x = AlignX::middle});
}

void draw_lane(Canvas& canvas, const Rect& lane, const std::vector<float>& values, std::size_t points, const char* name,
               float large) {
  const Theme& theme = canvas.theme();
  canvas.fill(lane, theme.well, canvas.px(3));
  std::vector<Point> curve;
  for (std::size_t i = 0; i < values.size(); ++i) {
    const float x = lane.right() - lane.w * static_cast<float>(values.size() - 1 - i) / static_cast<float>(points - 1);
    curve.push_back({x, lane.bottom() - canvas.px(2) - (lane.h - canvas.px(4)) * std::clamp(values[i], 0.0F, 1.0F)});
  }
  if (curve.size() > 1) canvas.curve(curve, theme.ink, canvas.px(1.8F));
  canvas.text(lane.inset(canvas.px(6), canvas.px(2)).top(canvas.px(18 * large)), name,
              {.size = 13 * large, .colour = theme.dim, .y = AlignY::top});
}

}  // namespace

void draw_forks(Canvas& canvas, const Rect& rect, const lessons::ForksPicture& picture, float large) {
  const Theme& theme = canvas.theme();
  const float words = canvas.px(34 * large);
  const Rect forks = rect.top(picture.microphone ? 0 : rect.h * 0.44F);
  if (!picture.microphone) {
    const auto now = [](const std::vector<float>& swing) { return swing.empty() ? 0.0F : swing.back(); };
    draw_fork(canvas, forks.left(forks.w / 2), now(picture.first_swing),
              "First: " + grouped(picture.first_hz, 1) + kThinGap + "Hz", large);
    draw_fork(canvas, forks.after(forks.w / 2), now(picture.second_swing),
              "Second: " + grouped(picture.second_hz, 1) + kThinGap + "Hz", large);
  }
  Rect rest = rect.below(forks.h + canvas.px(6));
  std::string heard = "Nothing rings that could be followed.";
  if (picture.tones) {
    heard = "Heard: " + grouped(picture.tones->first_hz, 2) + kThinGap + "Hz";
    if (picture.tones->second_hz)
      heard += " and " + grouped(*picture.tones->second_hz, 2) + kThinGap + "Hz, " +
               grouped(picture.tones->beat_hz(), 2) + " beats a second";
    else
      heard += kDot + note_of(picture.tones->first_hz);
  }
  canvas.text(rest.top(words), heard, {.size = 22 * large, .weight = Weight::bold, .colour = theme.ink});
  rest = rest.below(words + canvas.px(4));
  const float foot = canvas.px(18 * large);
  rest.h -= foot;
  const float gap = canvas.px(5);
  const auto points = static_cast<std::size_t>(500);
  if (picture.microphone) {
    draw_lane(canvas, rest, picture.loudness, points, "Loudness of the sound", large);
  } else {
    const float lane = (rest.h - 2 * gap) / 3;
    draw_lane(canvas, rest.top(lane), picture.first_swing, points, "Swing of the first", large);
    draw_lane(canvas, rest.below(lane + gap).top(lane), picture.second_swing, points, "Swing of the second", large);
    draw_lane(canvas, rest.below(2 * (lane + gap)), picture.loudness, points,
              "Loudness of the sound: beats are seen here", large);
  }
  canvas.text({rest.x, rest.bottom(), rest.w, foot}, "the last " + in_time(picture.swing_s),
              {.size = 12 * large, .colour = theme.dim, .x = AlignX::right});
}

}  // namespace hushmill::dashboard
