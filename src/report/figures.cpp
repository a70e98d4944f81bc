#include "report/figures.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>

#include "report/sound_pictures.hpp"

namespace hushmill::report {
namespace {

using picture::Align;
using picture::Canvas;
using picture::Colour;
using picture::Spot;

constexpr Colour kInk{0.08, 0.08, 0.08}, kDim{0.4, 0.4, 0.4}, kFaint{0.85, 0.85, 0.85}, kCut{0.72, 0.72, 0.72};
constexpr double kSmall = 7.5;

std::string number(double value, int digits = 0) {
  char text[48];
  std::snprintf(text, sizeof text, "%.*f", digits, value);
  return text;
}

/// A step of 1, 2 or 5 times a power of ten, about `most` of them in the range.
double step_of(double range, int most) {
  const double raw = std::max(range, 1e-9) / most;
  const double power = std::pow(10, std::floor(std::log10(raw)));
  for (const double times : {1.0, 2.0, 5.0}) {
    if (times * power >= raw) return times * power;
  }
  return 10 * power;
}

struct Plot {
  double left, top, right, bottom;
  double from_x, to_x;
  double x(double value) const { return left + (right - left) * (value - from_x) / (to_x - from_x); }
};

void time_or_hz_axis(Canvas& canvas, const Plot& plot, const char* unit) {
  const double step = step_of(plot.to_x - plot.from_x, 8);
  const int digits = step < 0.1 ? 2 : step < 1 ? 1 : 0;
  canvas.line({{plot.left, plot.bottom}, {plot.right, plot.bottom}}, 0.8, kInk);
  for (double at = std::ceil(plot.from_x / step) * step; at <= plot.to_x + 1e-9; at += step) {
    canvas.line({{plot.x(at), plot.bottom}, {plot.x(at), plot.bottom + 3}}, 0.8, kInk);
    if (plot.right - plot.x(at) > 18) canvas.text({plot.x(at), plot.bottom + 11}, number(at, digits), kSmall, kInk, Align::centre);
  }
  canvas.text({plot.right, plot.bottom + 11}, unit, kSmall, kInk, Align::right);
}

}  // namespace

void draw_timeline(Canvas& canvas, const Timeline& timeline) {
  const Plot plot{4, 30, canvas.width() - 4, canvas.height() - 16, 0, std::max(timeline.to_s, 0.001)};
  const double middle = (plot.top + plot.bottom) / 2 + 4;
  for (const Stretch& cut : timeline.cuts) {
    const double x = plot.x(cut.from_s);
    canvas.fill_rectangle({x, middle - 8}, std::max(0.8, plot.x(cut.to_s) - x), 16, kCut);
  }
  double labelled_to = -1;
  for (const ChatterStretch& chatter : timeline.chatter) {
    const double x = plot.x(chatter.from_s);
    const double width = std::max(1.2, plot.x(chatter.to_s) - x);
    canvas.fill_rectangle({x, middle - 14}, width, 28, kInk);
    const std::string words = number(chatter.hz) + " Hz";
    const double wide = canvas.text_width(words, kSmall);
    const double begin = std::min(x, plot.right - wide);
    if (begin > labelled_to + 4) {
      canvas.text({begin, middle - 17}, words, kSmall, kInk);
      labelled_to = begin + wide;
    }
  }
  labelled_to = -1;
  for (const SpeedMark& speed : timeline.speeds) {
    const double x = plot.x(speed.at_s);
    if (x > plot.right) continue;
    canvas.line({{x, 12}, {x, plot.bottom}}, 0.7, kDim, true);
    const std::string words = "S" + number(speed.rpm);
    const double wide = canvas.text_width(words, kSmall);
    const double begin = std::min(x + 2, plot.right - wide);
    if (begin > labelled_to + 4) {
      canvas.text({begin, 10}, words, kSmall, kDim);
      labelled_to = begin + wide;
    }
  }
  time_or_hz_axis(canvas, plot, "s");
}

void draw_spectrum(Canvas& canvas, const EpisodeSound& sound) {
  const SpectrumCurve curve = spectrum_of(sound);
  const double to_hz = top_hz(sound);
  const Plot plot{34, 14, canvas.width() - 6, canvas.height() - 18, 0, to_hz};
  if (curve.dbfs.empty()) {
    canvas.text({plot.left, canvas.height() / 2}, "too little sound for a spectrum", kSmall, kDim);
    return;
  }
  const auto bins = std::min(curve.dbfs.size(), static_cast<std::size_t>(to_hz / curve.bin_hz) + 1);
  const double loudest = *std::max_element(curve.dbfs.begin(), curve.dbfs.begin() + static_cast<std::ptrdiff_t>(bins));
  const double top_db = std::ceil((loudest + 3) / 10) * 10, low_db = top_db - 80;
  const auto y = [&](double db) { return plot.bottom - (plot.bottom - plot.top) * std::clamp((db - low_db) / (top_db - low_db), 0.0, 1.0); };
  for (double db = low_db; db <= top_db; db += 20) {
    canvas.line({{plot.left, y(db)}, {plot.right, y(db)}}, 0.5, kFaint);
    canvas.text({plot.left - 4, y(db) + 2.5}, number(db), kSmall, kInk, Align::right);
  }
  canvas.text({2, 9}, "dBFS", kSmall, kInk);
  std::vector<Spot> spots;
  for (std::size_t i = 0; i < bins; ++i) spots.push_back({plot.x(static_cast<double>(i) * curve.bin_hz), y(curve.dbfs[i])});
  canvas.line(spots, 0.8, kInk);
  if (sound.tooth_hz > 0) {
    for (int k = 1; k * sound.tooth_hz <= to_hz && k < 200; ++k) {
      const double x = plot.x(k * sound.tooth_hz);
      canvas.line({{x, plot.bottom}, {x, plot.bottom - 5}}, 1.2, kDim);
    }
  }
  if (sound.chatter_hz > 0 && sound.chatter_hz < to_hz) {
    const double x = plot.x(sound.chatter_hz);
    canvas.line({{x, plot.top - 2}, {x, plot.bottom}}, 0.8, kDim, true);
    const std::string words = "chatter " + number(sound.chatter_hz) + " Hz";
    const bool at_left = x + canvas.text_width(words, kSmall) + 4 > plot.right;
    canvas.text({at_left ? x - 3 : x + 3, plot.top + 5}, words, kSmall, kInk, at_left ? Align::right : Align::left);
  }
  time_or_hz_axis(canvas, plot, "Hz");
}

void draw_spectrogram(Canvas& canvas, const EpisodeSound& sound) {
  const double to_hz = top_hz(sound);
  const Spectrogram image = spectrogram_of(sound, to_hz, 320, 110);
  Plot plot{34, 14, canvas.width() - 6, canvas.height() - 18, image.from_s, image.to_s};
  if (image.columns == 0) {
    canvas.text({plot.left, canvas.height() / 2}, "too little sound for a spectrogram", kSmall, kDim);
    return;
  }
  canvas.shades({plot.left, plot.top}, plot.right - plot.left, plot.bottom - plot.top, image.columns, image.rows, image.darkness);
  const double step = step_of(to_hz, 4);
  for (double hz = 0; hz <= to_hz + 1e-6; hz += step) {
    const double y = plot.bottom - (plot.bottom - plot.top) * hz / to_hz;
    canvas.line({{plot.left - 3, y}, {plot.left, y}}, 0.8, kInk);
    canvas.text({plot.left - 5, y + 2.5}, number(hz), kSmall, kInk, Align::right);
  }
  canvas.text({2, 9}, "Hz", kSmall, kInk);
  const double alert_x = plot.x(sound.alert_s);
  if (alert_x > plot.left && alert_x < plot.right) {
    canvas.line({{alert_x, 4}, {alert_x, plot.top}}, 1.2, kInk);
    canvas.text({alert_x + 3, 10}, "heard as chatter", kSmall, kInk);
  }
  time_or_hz_axis(canvas, plot, "s");
}

}  // namespace hushmill::report
