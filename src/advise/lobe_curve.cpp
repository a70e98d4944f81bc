#include "advise/lobe_curve.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

namespace hushmill::advise {

namespace {

constexpr double kCoarseStep = 1.03;
constexpr int kPointsPerMode = 36;

// A coarse logarithmic grid, and a fan around each mode that is dense in its middle.
void fill_grid(const FlexibleCut& cut, double slowness, std::vector<double>& grid) {
  grid.clear();
  double lowest = 1;
  double highest = 1;
  for (int i = 0; i < cut.mode_count; ++i) {
    const CutMode& mode = cut.modes[static_cast<std::size_t>(i)];
    lowest = std::min(lowest, mode.ratio);
    highest = std::max(highest, mode.ratio);
    const double reach = 14.0 * cut.damping_at(mode, slowness) * mode.ratio;
    for (int k = 0; k < kPointsPerMode; ++k) {
      const double x = 2.0 * k / (kPointsPerMode - 1.0) - 1.0;
      const double hz = mode.ratio + reach * x * (0.1 + 0.9 * x * x);
      if (hz > 0.2 * lowest) grid.push_back(hz);
    }
  }
  for (double x = 0.45 * lowest; x < 2.2 * highest; x *= kCoarseStep) grid.push_back(x);
  std::sort(grid.begin(), grid.end());
}

double mix(double a, double b, double share) noexcept { return a + (b - a) * share; }

}  // namespace

void LobeCurve::sample(const FlexibleCut& cut, double slowness) {
  fill_grid(cut, slowness, grid_);
  for (auto& branch : branches_) branch.resize(grid_.size());
  EigenPair before{};
  for (std::size_t i = 0; i < grid_.size(); ++i) {
    EigenPair pair = cut.eigenvalues({0.0, grid_[i]}, slowness);
    // The square root may swap its sign: follow each branch by nearness.
    if (i > 0 && std::norm(pair[0] - before[0]) + std::norm(pair[1] - before[1]) >
                     std::norm(pair[0] - before[1]) + std::norm(pair[1] - before[0]))
      std::swap(pair[0], pair[1]);
    before = pair;
    for (std::size_t k = 0; k < 2; ++k) {
      // l = 1 / e. Phase between waves: pi - 2 arg l; limit |l| / (2 cos arg l), both only where Re l > 0.
      const double re = pair[k].real();
      const double im = pair[k].imag();
      Point& point = branches_[k][i];
      point.ratio = grid_[i];
      point.chatters = re > 0;
      if (!point.chatters) continue;
      point.phase = 0.5 + std::atan2(im, re) / std::numbers::pi;
      point.depth = 0.5 / re;
    }
  }
}

std::vector<Crossing> LobeCurve::at_phase(double phase) const {
  std::vector<Crossing> found;
  for (int k = 0; k < 2; ++k) {
    const auto& branch = branches_[static_cast<std::size_t>(k)];
    for (std::size_t i = 0; i + 1 < branch.size(); ++i) {
      const Point& a = branch[i];
      const Point& b = branch[i + 1];
      if (!a.chatters || !b.chatters) continue;
      if ((a.phase - phase) * (b.phase - phase) > 0 || a.phase == b.phase) continue;
      const double share = (phase - a.phase) / (b.phase - a.phase);
      found.push_back({mix(a.ratio, b.ratio, share), mix(a.depth, b.depth, share),
                       (b.phase - a.phase) / std::log(b.ratio / a.ratio), k});
    }
  }
  std::sort(found.begin(), found.end(), [](const Crossing& a, const Crossing& b) { return a.depth < b.depth; });
  return found;
}

std::array<Crossing, 2> LobeCurve::limits_at(double waves_of_first) const {
  constexpr double kNone = std::numeric_limits<double>::infinity();
  std::array<Crossing, 2> lowest{Crossing{0, kNone, 0, 0}, Crossing{0, kNone, 0, 0}};
  for (int k = 0; k < 2; ++k) {
    const auto& branch = branches_[static_cast<std::size_t>(k)];
    for (std::size_t i = 0; i + 1 < branch.size(); ++i) {
      const Point& a = branch[i];
      const Point& b = branch[i + 1];
      if (!a.chatters || !b.chatters) continue;
      const double at_a = a.ratio * waves_of_first - a.phase;
      const double at_b = b.ratio * waves_of_first - b.phase;
      const double whole = std::floor(std::max(at_a, at_b));
      if (whole < 0 || whole == std::floor(std::min(at_a, at_b)) || at_a == at_b) continue;
      const double share = std::clamp((whole - at_a) / (at_b - at_a), 0.0, 1.0);
      const Crossing here{mix(a.ratio, b.ratio, share), mix(a.depth, b.depth, share), 0, k};
      if (here.depth < lowest[0].depth) {
        lowest[1] = lowest[0];
        lowest[0] = here;
      } else if (here.depth < lowest[1].depth) {
        lowest[1] = here;
      }
    }
  }
  return lowest;
}

}  // namespace hushmill::advise
