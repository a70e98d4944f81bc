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

constexpr std::size_t kPoints = 500;     // that fill a lane
constexpr float kLeastLoudness = 1e-3F;  // of full scale: what is quieter does not fill the lane

float most_of(const std::vector<float>& values, float at_least) {
  for (const float value : values) at_least = std::max(at_least, value);
  return at_least;
}

/// Its name beside it, so that the curve never runs through words.
void draw_lane(Canvas& canvas, const Rect& rect, const std::vector<float>& values, float most, const std::string& name,
               float large) {
  const Theme& theme = canvas.theme();
  const Rect lane = rect.after(canvas.px(150 * large));
  canvas.fill(lane, theme.well, canvas.px(3));
  canvas.clip(lane);
  const auto curve = lane_curve(lane, values, kPoints, most, canvas.px(3));
  if (curve.size() > 1) canvas.curve(curve, theme.ink, canvas.px(1.8F));
  canvas.unclip();
  canvas.text(rect.left(canvas.px(142 * large)), name, {.size = 13 * large, .colour = theme.dim, .lines = 4});
}

}  // namespace

std::vector<Point> lane_curve(const Rect& lane, const std::vector<float>& values, std::size_t points, float most,
                              float margin_px) {
  std::vector<Point> curve;
  const Rect inside = lane.inset(0, std::min(margin_px, lane.h / 2));
  for (std::size_t i = values.size() > points ? values.size() - points : 0; i < values.size(); ++i) {
    const float x =
        inside.right() - inside.w * static_cast<float>(values.size() - 1 - i) / static_cast<float>(points - 1);
    curve.push_back({x, inside.bottom() - inside.h * std::clamp(values[i] / most, 0.0F, 1.0F)});
  }
  return curve;
}

void draw_forks(Canvas& canvas, const Rect& rect, const lessons::ForksPicture& picture, float large) {
  const Theme& theme = canvas.theme();
  const float words = canvas.px(34 * large);
  const Rect forks = rect.top(picture.microphone ? 0 : rect.h * (large > 1 ? 0.36F : 0.44F));
  if (!picture.microphone) {
    const auto now = [](const std::vector<float>& swing) { return swing.empty() ? 0.0F : swing.back(); };
    draw_fork(canvas, forks.left(forks.w / 2), now(picture.first_swing),
              "First: " + grouped(picture.first_hz, 1) + kThinGap + "Hz", large);
    draw_fork(canvas, forks.after(forks.w / 2), now(picture.second_swing),
              "Second: " + grouped(picture.second_hz, 1) + kThinGap + "Hz", large);
  }
  Rect rest = rect.below(forks.h + canvas.px(6));
  std::string heard = "Nothing rings that could be followed.";
  if (picture.tones && picture.tones->unclear) {
    heard = "Heard: more than two tones, or none that is steady";
  } else if (picture.tones) {
    heard = "Heard: " + grouped(picture.tones->first_hz, 2) + kThinGap + "Hz";
    if (picture.tones->second_hz)
      heard += " and " + grouped(*picture.tones->second_hz, 2) + kThinGap + "Hz, " +
               grouped(picture.tones->beat_hz(), 2) + " beats a second";
    else
      heard += kDot + note_of(picture.tones->first_hz);
  }
  canvas.text(rest.top(words), heard, {.size = 22 * large, .weight = Weight::bold, .colour = theme.ink});
  rest = rest.below(words + canvas.px(4));
  const float gap = canvas.px(5);
  const float loudest = most_of(picture.loudness, kLeastLoudness);
  const std::string seconds = "last " + in_time(picture.swing_s);
  if (picture.microphone) {
    draw_lane(canvas, rest, picture.loudness, loudest,
              "Loudness of the sound, " + seconds + "; top: " + trimmed(100 * static_cast<double>(loudest), 1) +
                  kThinGap + "% of full scale",
              large);
    return;
  }
  const float lane = (rest.h - 2 * gap) / 3;
  draw_lane(canvas, rest.top(lane), picture.first_swing, most_of(picture.first_swing, 1), "Swing of the first", large);
  draw_lane(canvas, rest.below(lane + gap).top(lane), picture.second_swing, most_of(picture.second_swing, 1),
            "Swing of the second", large);
  draw_lane(canvas, rest.below(2 * (lane + gap)), picture.loudness, loudest, "Loudness: beats; " + seconds, large);
}

}  // namespace hushmill::dashboard
