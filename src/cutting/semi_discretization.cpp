#include "cutting/semi_discretization.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

#include "cutting/dominant_multiplier.hpp"
#include "cutting/period_map.hpp"

namespace hushmill::cutting {
namespace {}

SemiDiscretization::SemiDiscretization(const CutModel& model, double radial_mm, Milling milling,
                                       SemiDiscretizationSettings settings)
    : model_(model), arc_(engaged_arc(radial_mm / model.cutter.diameter_mm, milling)), settings_(settings) {
  const Structure& s = model.structure;
  for (const auto* modes : {&s.tool_x, &s.tool_y, &s.part_x, &s.part_y}) {
    for (const Mode& mode : *modes) highest_hz_ = std::max(highest_hz_, mode.natural_hz);
  }
}

int SemiDiscretization::intervals(double spindle_rpm) const noexcept {
  const double tooth_s = 60.0 / (spindle_rpm * model_.cutter.flutes);
  const double waves = highest_hz_ * tooth_s;
  const double wanted =
      std::clamp(std::ceil(settings_.intervals_per_wave * waves), static_cast<double>(settings_.least_intervals),
                 static_cast<double>(settings_.most_intervals));
  // With five a wave the fin of config/ got 13 % too much depth at 800 rev/min, and several times its limit at 100.
  const double needed =
      std::min(std::ceil(settings_.least_per_wave * waves), static_cast<double>(settings_.most_intervals_slow));
  return static_cast<int>(std::max(wanted, needed));
}

double SemiDiscretization::resolved_from_rpm() const noexcept {
  return settings_.least_per_wave * highest_hz_ * 60.0 / (settings_.most_intervals_slow * model_.cutter.flutes);
}

double SemiDiscretization::radius(double spindle_rpm, double depth_mm, int intervals) const {
  const PeriodMap cut(model_, arc_, spindle_rpm, depth_mm, intervals);
  const auto map = [&cut](const Eigen::VectorXd& from, Eigen::VectorXd& to) { cut.advance(from, to); };
  return std::abs(dominant_multiplier(cut.state_size(), map).value);
}

Multiplier SemiDiscretization::multiplier(double spindle_rpm, double depth_mm, int intervals_wanted) const {
  const PeriodMap cut(model_, arc_, spindle_rpm, depth_mm,
                      intervals_wanted > 0 ? intervals_wanted : intervals(spindle_rpm));
  const auto map = [&cut](const Eigen::VectorXd& from, Eigen::VectorXd& to) { cut.advance(from, to); };
  const DominantMultiplier found = dominant_multiplier(cut.state_size(), map);
  const Eigen::Index count = cut.intervals();
  Multiplier result{.value = found.value, .period_s = cut.period_s(), .residual = found.residual};

  // The motion is exp(λt) times something periodic; the strongest line of that, moved by λ, is the strongest line there
  // is.
  Eigen::MatrixXd real_track;
  Eigen::MatrixXd imaginary_track;
  Eigen::VectorXd unused(cut.state_size());
  cut.advance(found.vector.real(), unused, &real_track);
  cut.advance(found.vector.imag(), unused, &imaginary_track);
  const std::complex<double> lambda = std::log(found.value) / result.period_s;
  const auto lines = std::min(count / 2, static_cast<Eigen::Index>(std::ceil(2.0 * highest_hz_ * result.period_s)) + 1);
  double strongest = -1;
  for (Eigen::Index line = -lines; line <= lines; ++line) {
    const double hz = static_cast<double>(line) / result.period_s;
    const std::complex<double> step = std::exp(-(lambda + std::complex<double>(0, kTurn * hz)) * cut.interval_s());
    std::complex<double> turn = 1.0;
    std::complex<double> x;
    std::complex<double> y;
    for (Eigen::Index i = 0; i < count; ++i) {
      x += turn * std::complex<double>(real_track(0, i), imaginary_track(0, i));
      y += turn * std::complex<double>(real_track(1, i), imaginary_track(1, i));
      turn *= step;
    }
    const double level = std::norm(x) + std::norm(y);
    if (level > strongest) {
      strongest = level;
      result.chatter_hz = std::abs(hz + lambda.imag() / kTurn);
    }
  }
  return result;
}

StabilityLimit SemiDiscretization::limit(double spindle_rpm, double greatest_depth_mm, double step_mm) const {
  const int fine = intervals(spindle_rpm);
  const int coarse = std::max(fine / 2, 20);
  const auto growth = [&](double depth_mm, int intervals) {
    return std::log(radius(spindle_rpm, depth_mm, intervals));
  };
  // The error falls with the square of the number of intervals (first-order scheme, T. Insperger, G. Stépán, G. Turi,
  // J. Sound Vib. 313 (2008) 334-341, from memory; measured in the benchmark), so two numbers of them give what none
  // would have (L.F. Richardson's extrapolation). Without it every limit came out half a percent to a percent too deep.
  const double squares = static_cast<double>(fine) * fine / (static_cast<double>(coarse) * coarse);
  const auto refined = [&](double depth_mm) {
    return (squares * growth(depth_mm, fine) - growth(depth_mm, coarse)) / (squares - 1.0);
  };
  // Lower end stable and upper end unstable, both refined: the coarse scan only says where to look.
  double low_mm = 0;
  double high_mm = 0;
  double low = -1;
  double high = -1;
  while (high < 0) {
    if (high_mm > 0) {
      low_mm = high_mm;
      low = high;
    }
    do {
      high_mm += step_mm;
      if (high_mm > greatest_depth_mm) return {.spindle_rpm = spindle_rpm, .depth_mm = greatest_depth_mm, .open = true};
    } while (growth(high_mm, coarse) < 0);
    high = refined(high_mm);
    // A step or more was passed over as stable: the fine intervals must say so of the last of them.
    const double before_mm = high_mm - step_mm;
    if (high >= 0 && before_mm > low_mm) {
      const double before = refined(before_mm);
      (before < 0 ? low_mm : high_mm) = before_mm;
      (before < 0 ? low : high) = before;
    }
  }
  // Regula falsi after Illinois (M. Dowell, P. Jarratt, BIT 11 (1971) 168-174): the growth rate is nearly straight.
  double weighed_low = low;
  double weighed_high = high;
  bool moved_low_before = false;
  for (int round = 0; round < 60 && high_mm - low_mm > settings_.depth_tolerance * high_mm; ++round) {
    double share = weighed_low / (weighed_low - weighed_high);
    if (low_mm == 0 || round >= 20)
      share = 0.5;  // nothing is known of no depth at all; and an end in sight in any case
    const double middle_mm = low_mm + std::clamp(share, 0.02, 0.98) * (high_mm - low_mm);
    const double middle = refined(middle_mm);
    const bool moves_low = middle < 0;
    if (moves_low) {
      low_mm = middle_mm;
      weighed_low = middle;
      if (moved_low_before) weighed_high *= 0.5;
    } else {
      high_mm = middle_mm;
      weighed_high = middle;
      if (!moved_low_before && round > 0) weighed_low *= 0.5;
    }
    moved_low_before = moves_low;
  }
  const Multiplier at_limit = multiplier(spindle_rpm, high_mm);
  const bool doubling = at_limit.value.real() < 0 && std::abs(at_limit.value.imag()) < 1e-6 * std::abs(at_limit.value);
  return {.spindle_rpm = spindle_rpm,
          .depth_mm = 0.5 * (low_mm + high_mm),
          .open = false,
          .chatter_hz = at_limit.chatter_hz,
          .kind = doubling ? ChatterKind::period_doubling : ChatterKind::hopf};
}

}  // namespace hushmill::cutting
