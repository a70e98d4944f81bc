#include "dashboard/folded_view.hpp"

#include <algorithm>
#include <cmath>
#include <span>
#include <utility>

namespace hushmill::dashboard {
namespace {

constexpr double kSpanDb = 42;    // from dark to bright
constexpr int kLeastColumns = 9;  // fewer tell nothing

/// Loudest bin between two frequencies, or the nearest bin where none lies between.
float loudest_between(const listen::Snapshot& snapshot, double from_hz, double to_hz) {
  const auto count = static_cast<long>(snapshot.spectrum_dbfs.size());
  const long first = std::clamp(std::lround(std::ceil(from_hz / snapshot.bin_hz)), 0L, count - 1);
  const long last = std::clamp(std::lround(std::floor(to_hz / snapshot.bin_hz)), 0L, count - 1);
  if (last < first) {
    const long nearest = std::clamp(std::lround((from_hz + to_hz) / 2 / snapshot.bin_hz), 0L, count - 1);
    return snapshot.spectrum_dbfs[static_cast<std::size_t>(nearest)];
  }
  float best = -400;
  for (long bin = first; bin <= last; ++bin)
    best = std::max(best, snapshot.spectrum_dbfs[static_cast<std::size_t>(bin)]);
  return best;
}

}  // namespace

double tooth_fraction(double hz, double tooth_passing_hz) noexcept {
  const double order = hz / tooth_passing_hz;
  return order - std::round(order);
}

FoldedView prepare_folded(const listen::Snapshot& snapshot, FoldedView again, int most_rows, int most_columns) {
  FoldedView view;
  view.level = std::move(again.level);
  view.row_db = std::move(again.row_db);
  view.tooth_passing_hz = snapshot.tooth_passing_hz;
  if (!(snapshot.tooth_passing_hz > 0) || !(snapshot.bin_hz > 0) || snapshot.spectrum_dbfs.size() < 2) {
    view.trouble = "No sound yet.";
    return view;
  }
  const double top_hz = snapshot.bin_hz * static_cast<double>(snapshot.spectrum_dbfs.size() - 1);
  const double tooth_hz = snapshot.tooth_passing_hz;
  view.rows = static_cast<int>(std::clamp(std::floor(top_hz / tooth_hz - 0.5), 0.0, static_cast<double>(most_rows)));
  view.columns = static_cast<int>(std::min(static_cast<double>(most_columns), std::floor(tooth_hz / snapshot.bin_hz)));
  if (view.columns % 2 == 0) --view.columns;
  if (view.rows < 1 || view.columns < kLeastColumns) {
    view.rows = view.columns = 0;
    view.trouble = view.rows < 1 && tooth_hz > top_hz ? "The teeth pass above the hearing range."
                                                      : "The teeth pass too slowly to tell the columns apart.";
    return view;
  }

  const auto place = [&view](int row, int column) {
    return static_cast<std::size_t>(row) * static_cast<std::size_t>(view.columns) + static_cast<std::size_t>(column);
  };
  view.level.resize(place(view.rows, 0));
  view.row_db.resize(static_cast<std::size_t>(view.columns) + static_cast<std::size_t>(view.rows));
  const std::span<float> row_db = std::span(view.row_db).first(static_cast<std::size_t>(view.columns));
  const std::span<float> floors = std::span(view.row_db).last(static_cast<std::size_t>(view.rows));
  float loudest = -400;
  for (int row = 0; row < view.rows; ++row) {
    for (int column = 0; column < view.columns; ++column) {
      const double from = (column - view.columns / 2.0) / view.columns;
      const double from_hz = (row + 1 + from) * tooth_hz;
      const float db = loudest_between(snapshot, from_hz, from_hz + tooth_hz / view.columns);
      row_db[static_cast<std::size_t>(column)] = db;
      view.level[place(row, column)] = db;
      loudest = std::max(loudest, db);
    }
    const auto middle = row_db.begin() + view.columns / 2;
    std::nth_element(row_db.begin(), middle, row_db.end());
    floors[static_cast<std::size_t>(row)] = *middle;
  }
  // Each row above its own floor, so that high orders are seen too; but a row far under the loudest stays dark.
  for (int row = 0; row < view.rows; ++row) {
    for (int column = 0; column < view.columns; ++column) {
      float& level = view.level[place(row, column)];
      const auto db = static_cast<double>(level);
      const double above = db - static_cast<double>(floors[static_cast<std::size_t>(row)]) - 3;
      const double faint = std::clamp((db - (static_cast<double>(loudest) - 60)) / 20, 0.0, 1.0);
      const double value = std::clamp(above / kSpanDb, 0.0, 1.0) * faint;
      level = std::isfinite(value) ? static_cast<float>(value) : 0.0F;
    }
  }
  view.marks_tone = snapshot.verdict == listen::Verdict::building ? Tone::abnormal : Tone::danger;
  if (snapshot.chatter) {
    const double fraction = tooth_fraction(snapshot.chatter->chatter_hz, tooth_hz);
    view.marks.push_back({fraction, false});
    // At the half spacing the tone is its own mirror: both edges are the same place.
    view.marks.push_back({-fraction, true});
  }
  return view;
}

}  // namespace hushmill::dashboard
