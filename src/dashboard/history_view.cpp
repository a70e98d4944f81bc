#include "dashboard/history_view.hpp"

#include <algorithm>
#include <cmath>

namespace hushmill::dashboard {
namespace {

constexpr double kHighestHz = 8192;  // above it there is little to see in a cut, and the grid stays fine below
constexpr double kLowestDbfs = -127.5;
constexpr int kSpan = 2 * 66;  // from dark to bright, half decibels
constexpr int kBrightestStep = 2 * 6;
constexpr double kDarker = 1.4;  // above 1: the floor stays dark, lines stand out

}  // namespace

double History::shade(std::uint8_t level) const noexcept {
  const double share = static_cast<double>(level - (brightest_ - kSpan)) / kSpan;
  return std::pow(std::clamp(share, 0.0, 1.0), kDarker);
}

std::span<const std::uint8_t> History::column(int stored) const noexcept {
  return std::span(levels_).subspan(static_cast<std::size_t>(stored) * kRows, kRows);
}

std::optional<double> History::dbfs_at(double t_s, double hz) const noexcept {
  if (!(top_hz_ > 0) || !(hz >= 0 && hz < top_hz_) || !(t_s >= 0 && t_s < newest_s())) return std::nullopt;
  const auto n = static_cast<std::int64_t>(t_s / kSpanS * kColumns);
  if (n > newest_ || n <= newest_ - kColumns) return std::nullopt;
  const auto row = static_cast<std::size_t>(hz / top_hz_ * kRows);
  const std::uint8_t level = column(static_cast<int>(n % kColumns))[row];
  if (level == 0) return std::nullopt;  // nothing was heard then
  return kLowestDbfs + level / 2.0;
}

std::span<const int> History::take_dirty() {
  taken_.clear();
  taken_.swap(dirty_);
  return taken_;
}

void History::make_all_dirty() {
  dirty_.clear();
  for (int stored = 0; stored < kColumns; ++stored) dirty_.push_back(stored);
}

void History::add(const listen::Snapshot& snapshot) {
  if (snapshot.spectrum_dbfs.size() < 2 || !(snapshot.bin_hz > 0) || !std::isfinite(snapshot.t_s) || snapshot.t_s < 0)
    return;
  const auto now = static_cast<std::int64_t>(snapshot.t_s / kSpanS * kColumns);
  const double nyquist_hz = snapshot.bin_hz * static_cast<double>(snapshot.spectrum_dbfs.size() - 1);
  const double top_hz = std::min(kHighestHz, nyquist_hz);
  if (now < newest_ || top_hz != top_hz_ || snapshot.bin_hz != bin_hz_) {
    std::fill(levels_.begin(), levels_.end(), std::uint8_t{0});
    newest_ = -1;
    std::fill(loudest_.begin(), loudest_.end(), std::uint8_t{0});
    make_all_dirty();
  }
  top_hz_ = top_hz;
  bin_hz_ = snapshot.bin_hz;
  if (now == newest_) return;
  // The first column ever does not smear itself over the time before there was sound.
  const std::int64_t from = newest_ < 0 ? now : std::max(newest_ + 1, now - kColumns + 1);
  newest_ = now;
  for (std::int64_t n = from; n <= now; ++n) {
    const int stored = static_cast<int>(n % kColumns);
    write(stored, snapshot);
    dirty_.push_back(stored);
  }
  const int loudest = *std::max_element(loudest_.begin(), loudest_.end());
  const int brightest = std::max(kLeastBrightest, (loudest + kBrightestStep - 1) / kBrightestStep * kBrightestStep);
  if (brightest != brightest_) {
    brightest_ = brightest;
    make_all_dirty();
  }
}

void History::write(int stored, const listen::Snapshot& snapshot) {
  const auto& spectrum = snapshot.spectrum_dbfs;
  std::uint8_t loudest = 0;
  const double bins_per_row = top_hz_ / kRows / snapshot.bin_hz;
  for (int row = 0; row < kRows; ++row) {
    const double from = row * bins_per_row, to = (row + 1) * bins_per_row;
    const auto last_index = spectrum.size() - 1;
    const auto first_bin = std::min(last_index, static_cast<std::size_t>(from));
    const auto last_bin = std::min(last_index, std::max(first_bin, static_cast<std::size_t>(std::ceil(to)) - 1));
    float best = -400;
    for (std::size_t bin = first_bin; bin <= last_bin; ++bin) best = std::max(best, spectrum[bin]);
    const double steps = 2 * (static_cast<double>(best) - kLowestDbfs);
    const auto level = static_cast<std::uint8_t>(std::isfinite(steps) ? std::lround(std::clamp(steps, 0.0, 255.0)) : 0);
    levels_[static_cast<std::size_t>(stored) * kRows + static_cast<std::size_t>(row)] = level;
    loudest = std::max(loudest, level);
  }
  loudest_[static_cast<std::size_t>(stored)] = loudest;
}

}  // namespace hushmill::dashboard
