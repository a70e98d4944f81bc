#include "dashboard/spectrum_view.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "dashboard/folded_view.hpp"
#include "dashboard/numbers.hpp"

namespace hushmill::dashboard {
namespace {

using listen::PeakRole;

constexpr double kSpanDb = 78;
constexpr int kMostTeeth = 400;

/// Loudest bin in each pixel column; between bins a straight line, so that zooming in shows no stairs.
void reduce(const std::vector<float>& spectrum, double bin_hz, const Axis& hz, int columns, std::vector<float>& curve) {
  curve.clear();
  if (spectrum.size() < 2 || !(bin_hz > 0) || columns < 1) return;
  curve.resize(static_cast<std::size_t>(columns));
  const double last = static_cast<double>(spectrum.size() - 1);
  for (int column = 0; column < columns; ++column) {
    const double from = std::clamp(hz.value(static_cast<double>(column) / columns) / bin_hz, 0.0, last);
    const double to = std::clamp(hz.value((column + 1.0) / columns) / bin_hz, 0.0, last);
    const auto first_bin = static_cast<std::size_t>(std::ceil(from));
    const auto last_bin = static_cast<std::size_t>(std::floor(to));
    float value = -400;
    for (std::size_t bin = first_bin; bin <= last_bin; ++bin) value = std::max(value, spectrum[bin]);
    if (first_bin > last_bin) {
      const double at = (from + to) / 2;
      const auto below = std::min(static_cast<std::size_t>(at), spectrum.size() - 2);
      const auto share = static_cast<float>(at - static_cast<double>(below));
      value = spectrum[below] + (spectrum[below + 1] - spectrum[below]) * share;
    }
    curve[static_cast<std::size_t>(column)] = std::isfinite(value) ? value : -400.0F;
  }
}

}  // namespace

double interesting_hz(const listen::Snapshot& snapshot) noexcept {
  const double top_hz =
      snapshot.bin_hz * static_cast<double>(std::max<std::size_t>(2, snapshot.spectrum_dbfs.size()) - 1);
  double wanted = std::max(2000.0, 10.5 * snapshot.tooth_passing_hz);
  if (snapshot.chatter) wanted = std::max(wanted, 1.5 * snapshot.chatter->chatter_hz);
  wanted = std::ceil(std::min(wanted, 20000.0) / 500) * 500;
  return top_hz > 0 ? std::min(wanted, top_hz) : wanted;
}

SpectrumView prepare_spectrum(const listen::Snapshot& snapshot, const Axis& hz, int pixel_columns, SpectrumView again) {
  SpectrumView view = std::move(again);
  view.marks.clear();
  view.hz = hz;
  view.chatter_tone = snapshot.verdict == listen::Verdict::building ? Tone::abnormal : Tone::danger;
  reduce(snapshot.spectrum_dbfs, snapshot.bin_hz, hz, pixel_columns, view.curve_dbfs);
  reduce(snapshot.room_dbfs, snapshot.bin_hz, hz, pixel_columns, view.room_dbfs);
  double loudest = -60;
  for (const float value : view.curve_dbfs) loudest = std::max(loudest, static_cast<double>(value));
  // In steps of ten so that the scale stands still while the level wanders.
  view.dbfs.to = std::min(10.0, std::ceil((loudest + 4) / 10) * 10);
  view.dbfs.from = view.dbfs.to - kSpanDb;

  const double tooth_hz = snapshot.tooth_passing_hz;
  if (tooth_hz > 0) {
    const double first = std::max(1.0, std::ceil(hz.from / tooth_hz));
    for (int i = 0; i < kMostTeeth; ++i) {
      const double order = first + i;
      if (order * tooth_hz > hz.to) break;
      view.marks.push_back({order * tooth_hz, PeakRole::tooth, static_cast<int>(order), 0, false});
    }
  }
  const listen::Peak* strongest = nullptr;
  for (const listen::Peak& peak : snapshot.peaks) {
    if (peak.role == PeakRole::chatter && (!strongest || peak.dbfs > strongest->dbfs)) strongest = &peak;
  }
  for (const listen::Peak& peak : snapshot.peaks) {
    if (peak.role == PeakRole::tooth || peak.role == PeakRole::unexplained || !hz.holds(peak.hz)) continue;
    view.marks.push_back({peak.hz, peak.role, peak.order, peak.dbfs, &peak == strongest});
  }
  return view;
}

namespace {

/// With the tooth multiple, and after it the note: longest first.
Spellings with_place(Words text, double hz, double tooth_passing_hz) {
  Spellings spellings{text};
  if (tooth_passing_hz > 0) {
    const double fraction = tooth_fraction(hz, tooth_passing_hz);
    const Words multiple = "tooth multiple " + grouped(std::round(hz / tooth_passing_hz));
    text += kDot;
    if (std::abs(fraction) < 0.01) {
      text += "on " + multiple;
    } else {
      text += grouped(std::abs(fraction), 2) + (fraction > 0 ? " above " : " below ") + multiple;
    }
    spellings.push_back(text);
  }
  if (const Words note = note_of(hz); !note.empty()) spellings.push_back(text + kDot + note);
  std::reverse(spellings.begin(), spellings.end());
  return spellings;
}

}  // namespace

Spellings read_out(const listen::Snapshot& snapshot, double hz) {
  Words text = in_hz(hz);
  if (snapshot.bin_hz > 0 && !snapshot.spectrum_dbfs.empty()) {
    const auto bin = static_cast<std::size_t>(
        std::clamp(std::round(hz / snapshot.bin_hz), 0.0, static_cast<double>(snapshot.spectrum_dbfs.size() - 1)));
    text += kDot + in_db(static_cast<double>(snapshot.spectrum_dbfs[bin]));
  }
  return with_place(text, hz, snapshot.tooth_passing_hz);
}

Spellings read_past(const listen::Snapshot& now, double hz, double ago_s, std::optional<double> dbfs) {
  const Words what = in_hz(hz) + (dbfs ? kDot + in_db(*dbfs) : Words());
  auto spellings = with_place(in_time(ago_s) + " ago" + kDot + what, hz, now.tooth_passing_hz);
  spellings.push_back(what);
  return spellings;
}

std::optional<double> next_line_hz(const listen::Snapshot& snapshot, const Axis& hz, std::optional<double> after_hz) {
  std::optional<double> next, first;
  for (const listen::Peak& peak : snapshot.peaks) {
    if (peak.role == PeakRole::unexplained || !hz.holds(peak.hz)) continue;
    if (!first || peak.hz < *first) first = peak.hz;
    if (after_hz && peak.hz <= *after_hz * 1.001) continue;
    if (!next || peak.hz < *next) next = peak.hz;
  }
  return next ? next : first;
}

}  // namespace hushmill::dashboard
