#include "listen/faint_teeth.hpp"

#include <algorithm>
#include <utility>

namespace hushmill::listen {

namespace {
constexpr double kFaintMeanS = 0.4;
constexpr double kFaintClearRatio = 3.0;  // 5 dB over the floor
constexpr double kFaintHighestHz = 6000;
constexpr int kFaintLeastLines = 4;
constexpr double kFaintLeastShare = 0.4;  // of the multiples that fit
// Places without teeth, in tooth spacings: chatter may stand at one of them, not at both.
constexpr double kBetween = -0.5;
constexpr double kAside = -0.31;
constexpr double kRatioStep = 0.0022;  // the speed may be 2 % off
}  // namespace

int FaintTeeth::lines(const Row& row, double ratio, double tolerance, double shift) const noexcept {
  int count = 0;
  const double tooth_hz = row.comb.tooth_hz() * ratio;
  const double last_hz = std::min(kFaintHighestHz, row.highest_hz());
  for (int k = 1; (k + shift) * tooth_hz <= last_hz; ++k) {
    const double hz = (k + shift) * tooth_hz;
    const double within = 0.75 * row.bin_hz + tolerance * hz;
    if (within > 0.25 * tooth_hz) break;
    const std::size_t from = row.bin(hz - within), to = row.bin(hz + within);
    const auto best = std::max_element(mean_.begin() + static_cast<std::ptrdiff_t>(from),
                                       mean_.begin() + static_cast<std::ptrdiff_t>(to) + 1);
    const auto bin = static_cast<std::size_t>(best - mean_.begin());
    const double reference = static_cast<double>(row.floor[bin]) + 1e-14;
    if (static_cast<double>(*best) > kFaintClearRatio * reference) ++count;
  }
  return count;
}

bool FaintTeeth::process(const Row& row, bool asked) {
  if (mean_.size() != row.power.size()) {
    mean_.assign(row.power.begin(), row.power.end());
    heard_s_ = 0;
  }
  heard_s_ += row.row_s;
  const auto share = static_cast<float>(row.row_s / std::min(kFaintMeanS, heard_s_));
  for (std::size_t k = 0; k < mean_.size(); ++k) mean_[k] += share * (row.power[k] - mean_[k]);
  if (!asked || !row.room_known || heard_s_ < kFaintMeanS) return false;
  const auto look = [&](double ratio, double tolerance) {
    const int on = lines(row, ratio, tolerance, 0);
    if (on < kFaintLeastLines) return std::pair{0, 0};
    return std::pair{on, std::min(lines(row, ratio, tolerance, kBetween), lines(row, ratio, tolerance, kAside))};
  };
  auto best = std::pair{0, 0};
  if (row.comb.measured) {
    best = look(1.0, 2.0 * row.comb.relative_uncertainty);
  } else {
    for (int step = -10; step <= 10; ++step) {
      const auto found = look(1.0 + kRatioStep * step, 0.0013);
      if (found.first - found.second > best.first - best.second) best = found;
    }
  }
  const auto [on, off] = best;
  const double fit = kFaintHighestHz / row.comb.tooth_hz();
  return on >= kFaintLeastLines && on >= static_cast<int>(kFaintLeastShare * fit) && on >= off + kFaintLeastLines &&
         on >= 2 * off;
}

}  // namespace hushmill::listen
