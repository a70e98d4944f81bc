#include "dashboard/layout.hpp"

#include <algorithm>
#include <cmath>

namespace hushmill::dashboard {
namespace {

constexpr float kGap = 8;              // between panels and round the edge, units
constexpr float kBandBeyondWord = 60;  // verdict band above and below the capitals, units
constexpr float kCautions = 84;
constexpr float kTimeline = 92;
constexpr float kBenchWidth = 1180, kBenchHeight = 660;

void room_look(Layout& layout, Rect all, float gap) {
  const float cautions = 58 * layout.unit;
  layout.cautions = {all.x, all.bottom() - cautions, all.w, cautions};
  const float rest = all.h - cautions - 2 * gap;
  layout.band = all.top(std::round(rest * 0.58F));
  layout.advice = {all.x, layout.band.bottom() + gap, all.w, rest - layout.band.h};
  layout.capital_px = std::max(layout.capital_px, std::min(layout.band.h * 0.34F, all.w / 14));
  layout.lines_below = true;
}

void right_column(Layout& layout, Rect column, float gap, bool rig) {
  const float u = layout.unit;
  layout.cautions = {column.x, column.bottom() - kCautions * u, column.w, kCautions * u};
  column.h -= kCautions * u + gap;
  if (layout.look == Look::teach) {
    if (rig) {
      layout.rig = column.top(std::round(std::min(232 * u, column.h * 0.55F)));
      column = column.below(layout.rig.h + gap);
    }
    layout.lesson = column;
    return;
  }
  if (rig) {
    layout.rig = {column.x, column.bottom() - 108 * u, column.w, 108 * u};
    column.h -= layout.rig.h + gap;
  }
  const float microphone = std::round(rig ? std::max(68 * u, column.h * 0.17F) : std::max(128 * u, column.h * 0.3F));
  layout.microphone = {column.x, column.bottom() - microphone, column.w, microphone};
  layout.cut = column.top(column.h - microphone - gap);
}

}  // namespace

Layout lay_out(const LayoutRequest& request) noexcept {
  Layout layout;
  const float w = std::max(1.0F, request.width_px), h = std::max(1.0F, request.height_px);
  const float wanted = std::clamp(request.scale, 0.5F, 8.0F);
  const float scale = std::min({wanted, w / 640, h / 360});
  layout.unit = std::max(scale, std::min(w / 1280, h / 720));
  const float u = layout.unit;
  layout.look = request.look;
  if (w / u < kBenchWidth || h / u < kBenchHeight) layout.look = Look::room;
  layout.capital_px = std::ceil(h / 10);
  layout.lines_below = w / h < 1.7F;  // the longest word leaves no room beside itself

  const float gap = std::round(kGap * u);
  const Rect all = Rect{0, 0, w, h}.inset(gap);
  if (layout.look == Look::room) {
    room_look(layout, all, gap);
    return layout;
  }

  const float band = layout.lines_below ? layout.capital_px * 1.45F + 100 * u : layout.capital_px + kBandBeyondWord * u;
  layout.band = all.top(std::round(band));
  const Rect rest = all.below(layout.band.h + gap);

  const bool teach = layout.look == Look::teach;
  const float left = std::round(std::clamp(rest.w * 0.235F, 292 * u, 380 * u));
  const float right = std::round(std::clamp(rest.w * (teach ? 0.25F : 0.2F), (teach ? 300 : 248) * u, 360 * u));
  const float advice = std::round(std::clamp(rest.h * 0.3F, 198 * u, 232 * u));
  layout.ladder = rest.left(left).top(rest.h - advice - gap);
  layout.advice = {rest.x, layout.ladder.bottom() + gap, left, advice};
  right_column(layout, {rest.right() - right, rest.y, right, rest.h}, gap, request.rig);

  Rect middle{rest.x + left + gap, rest.y, rest.w - left - right - 2 * gap, rest.h};
  const float timeline = std::round(kTimeline * u);
  layout.timeline = {middle.x, middle.bottom() - timeline, middle.w, timeline};
  middle.h -= timeline + gap;
  const float upper = std::round(middle.h * 0.58F);
  const float folded = std::round(middle.w * 0.44F);
  layout.folded = middle.top(upper).left(folded);
  layout.spectrum = middle.top(upper).after(folded + gap);
  const Rect lower = middle.below(upper + gap);
  const float trials = std::round(std::clamp(lower.w * 0.44F, 250 * u, 400 * u));
  layout.history = lower.left(lower.w - trials - gap);
  layout.trials = lower.after(layout.history.w + gap);
  return layout;
}

}  // namespace hushmill::dashboard
