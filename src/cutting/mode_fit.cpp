#include "cutting/mode_fit.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <sstream>
#include <stdexcept>

#include "cutting/semi_discretization.hpp"

namespace hushmill::cutting {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr std::size_t kLeastPoints = 16;
constexpr double kSmallestDamping = 1e-4;
constexpr double kLargestDamping = 0.3;

struct Shape {
  double hz, damping_ratio;
};

/// Response of the shapes with unit compliance, real parts above imaginary parts, and a column for the constant
/// residual.
MatrixXd columns(const std::vector<ResponsePoint>& measured, const std::vector<Shape>& shapes) {
  const auto points = static_cast<Index>(measured.size());
  MatrixXd made(2 * points, static_cast<Index>(shapes.size()) + 1);
  for (Index i = 0; i < points; ++i) {
    for (std::size_t m = 0; m < shapes.size(); ++m) {
      const double r = measured[static_cast<std::size_t>(i)].hz / shapes[m].hz;
      const std::complex<double> g = 1.0 / std::complex<double>(1.0 - r * r, 2.0 * shapes[m].damping_ratio * r);
      made(i, static_cast<Index>(m)) = g.real();
      made(points + i, static_cast<Index>(m)) = g.imag();
    }
    made(i, made.cols() - 1) = 1.0;
    made(points + i, made.cols() - 1) = 0.0;
  }
  return made;
}

/// Best compliances for these shapes, and what they leave.
struct Linear {
  VectorXd compliance, rest;
};
Linear solve(const std::vector<ResponsePoint>& measured, const std::vector<Shape>& shapes, const VectorXd& target) {
  const MatrixXd a = columns(measured, shapes);
  Linear answer;
  answer.compliance = a.colPivHouseholderQr().solve(target);
  answer.rest = target - a * answer.compliance;
  return answer;
}

void refine(const std::vector<ResponsePoint>& measured, std::vector<Shape>& shapes, const VectorXd& target) {
  const auto unknowns = static_cast<Index>(2 * shapes.size());
  double trust = 1e-3;
  Linear now = solve(measured, shapes, target);
  for (int round = 0; round < 60; ++round) {
    MatrixXd slope(target.size(), unknowns);
    for (Index u = 0; u < unknowns; ++u) {
      std::vector<Shape> moved = shapes;
      Shape& one = moved[static_cast<std::size_t>(u / 2)];
      const double step = u % 2 == 0 ? 1e-6 : 1e-4;  // relative, in the logarithm
      (u % 2 == 0 ? one.hz : one.damping_ratio) *= std::exp(step);
      slope.col(u) = (solve(measured, moved, target).rest - now.rest) / step;
    }
    const MatrixXd normal = slope.transpose() * slope;
    const VectorXd downhill = slope.transpose() * now.rest;
    bool better = false;
    while (trust < 1e8 && !better) {
      MatrixXd damped = normal;
      damped.diagonal() *= 1.0 + trust;
      const VectorXd change = -damped.ldlt().solve(downhill);
      std::vector<Shape> moved = shapes;
      for (std::size_t m = 0; m < moved.size(); ++m) {
        const auto at = static_cast<Index>(2 * m);
        moved[m].hz *= std::exp(std::clamp(change[at], -0.1, 0.1));
        moved[m].damping_ratio = std::clamp(moved[m].damping_ratio * std::exp(std::clamp(change[at + 1], -1.0, 1.0)),
                                            kSmallestDamping, kLargestDamping);
      }
      const Linear then = solve(measured, moved, target);
      better = then.rest.squaredNorm() < now.rest.squaredNorm();
      if (better) {
        const bool settled = now.rest.squaredNorm() - then.rest.squaredNorm() < 1e-12 * target.squaredNorm();
        shapes = moved;
        now = then;
        trust = std::max(trust * 0.2, 1e-12);
        if (settled) return;
      } else {
        trust *= 5.0;
      }
    }
    if (!better) return;
  }
}

/// Where the rest still has its deepest imaginary part, and how wide that is; damping 0 if there is no peak.
Shape next_peak(const std::vector<ResponsePoint>& measured, const VectorXd& rest) {
  const auto points = static_cast<Index>(measured.size());
  const VectorXd depth = -rest.tail(points);
  Index top = 1;
  for (Index i = 1; i + 1 < points; ++i) {
    if (depth[i] > depth[top]) top = i;
  }
  if (!(depth[top] > 0)) return {0, 0};
  Index left = top;
  Index right = top;
  while (left > 0 && depth[left] > 0.5 * depth[top]) --left;
  while (right + 1 < points && depth[right] > 0.5 * depth[top]) ++right;
  const auto hz = [&](Index i) { return measured[static_cast<std::size_t>(i)].hz; };
  // −Im G falls to half at about fn·(1 ± ζ).
  return {hz(top), std::clamp(0.5 * (hz(right) - hz(left)) / hz(top), 2e-3, kLargestDamping)};
}

void check(const std::vector<ResponsePoint>& measured) {
  if (measured.size() < kLeastPoints) {
    throw std::invalid_argument("the frequency response has " + std::to_string(measured.size()) + " points; " +
                                std::to_string(kLeastPoints) + " or more would be right");
  }
  for (std::size_t i = 0; i < measured.size(); ++i) {
    const ResponsePoint& p = measured[i];
    const bool rises = i == 0 ? p.hz >= 0 : p.hz > measured[i - 1].hz;
    if (!std::isfinite(p.hz) || !std::isfinite(p.response_m_n.real()) || !std::isfinite(p.response_m_n.imag()) ||
        !rises) {
      std::ostringstream line;
      line << "point " << i + 1 << " of the frequency response is " << p.hz << " Hz, " << p.response_m_n.real() << ", "
           << p.response_m_n.imag() << " m/N; finite numbers at rising frequencies would be right";
      throw std::invalid_argument(line.str());
    }
  }
}

}  // namespace

ModeFit fit_modes(const std::vector<ResponsePoint>& measured, const ModeFitSettings& settings) {
  check(measured);
  const auto points = static_cast<Index>(measured.size());
  VectorXd target(2 * points);
  for (Index i = 0; i < points; ++i) {
    target[i] = measured[static_cast<std::size_t>(i)].response_m_n.real();
    target[points + i] = measured[static_cast<std::size_t>(i)].response_m_n.imag();
  }
  const double highest = (-target.tail(points)).maxCoeff();
  std::vector<Shape> shapes;
  VectorXd rest = target;
  for (int m = 0; m < settings.most_modes; ++m) {
    if ((-rest.tail(points)).maxCoeff() < settings.least_share * highest) break;
    const Shape peak = next_peak(measured, rest);
    if (peak.damping_ratio == 0) break;
    std::vector<Shape> more = shapes;
    more.push_back(peak);
    refine(measured, more, target);
    const Linear answer = solve(measured, more, target);
    if (answer.compliance.head(answer.compliance.size() - 1).minCoeff() <= 0)
      break;  // no longer a mode at the driven point
    shapes = more;
    rest = answer.rest;
  }
  if (shapes.empty())
    throw std::invalid_argument(
        "the frequency response has no peak of -Im; a measurement around a mode would be right");
  const Linear answer = solve(measured, shapes, target);
  ModeFit fit;
  for (std::size_t m = 0; m < shapes.size(); ++m) {
    fit.modes.push_back({shapes[m].hz, shapes[m].damping_ratio, 1.0 / answer.compliance[static_cast<Index>(m)]});
  }
  std::sort(fit.modes.begin(), fit.modes.end(),
            [](const Mode& a, const Mode& b) { return a.natural_hz < b.natural_hz; });
  fit.residual_m_n = answer.compliance[answer.compliance.size() - 1];
  fit.misfit = answer.rest.norm() / target.norm();
  return fit;
}

CutModel scaled_to_known_depth(const CutModel& model, double radial_mm, Milling milling, double spindle_rpm,
                               double known_depth_mm) {
  check(model);
  // Each wave between two teeth asks for more intervals: a cut that hardly turns would be reckoned for minutes, and so close together its
  // pockets say nothing of stiffness.
  constexpr double kMostWaves = 100;
  double highest_hz = 0;
  for (const auto* modes : {&model.structure.tool_x, &model.structure.tool_y, &model.structure.part_x, &model.structure.part_y})
    for (const Mode& mode : *modes) highest_hz = std::max(highest_hz, mode.natural_hz);
  const double least_rpm = highest_hz * 60 / (kMostWaves * model.cutter.flutes);
  if (spindle_rpm < least_rpm) {
    std::ostringstream line;
    line << "the cut with the known depth turns at " << spindle_rpm << " rev/min, more than " << kMostWaves << " waves of the highest mode from tooth to tooth; "
         << std::ceil(least_rpm) << " rev/min or more would be right";
    throw std::invalid_argument(line.str());
  }
  CutModel scaled = model;
  // Without helix the limit is proportional to stiffness and one round is enough; with it the proportion holds nearly.
  for (int round = 0; round < 8; ++round) {
    const SemiDiscretization chart(scaled, radial_mm, milling);
    const double reach_mm = (round == 0 ? 1000.0 : 4.0) * known_depth_mm;
    StabilityLimit limit{.open = true};
    for (double step_mm = known_depth_mm / 50; limit.open && step_mm < reach_mm; step_mm *= 10) {
      limit = chart.limit(spindle_rpm, std::min(reach_mm, 60 * step_mm), step_mm);
    }
    if (limit.open) {
      throw std::invalid_argument(
          "the cut with the known depth has no stability limit in the model; another speed or engagement would be "
          "right");
    }
    const double factor = known_depth_mm / limit.depth_mm;
    for (auto* modes :
         {&scaled.structure.tool_x, &scaled.structure.tool_y, &scaled.structure.part_x, &scaled.structure.part_y}) {
      for (Mode& mode : *modes) mode.stiffness_n_m *= factor;
    }
    if (std::abs(factor - 1.0) < 1e-3) break;
  }
  return scaled;
}

}  // namespace hushmill::cutting
