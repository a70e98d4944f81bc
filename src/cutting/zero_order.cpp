#include "cutting/zero_order.hpp"

#include <algorithm>
#include <cmath>
#include <complex>

#include "cutting/frequency_response.hpp"

namespace hushmill::cutting {

DirectionalFactors directional_factors(double radial_ratio, const Arc& arc) noexcept {
  const auto at = [radial_ratio](double p) {
    const double c = std::cos(2.0 * p);
    const double s = std::sin(2.0 * p);
    const double r = radial_ratio;
    return DirectionalFactors{0.5 * (c - 2.0 * r * p + r * s), 0.5 * (-s - 2.0 * p + r * c),
                              0.5 * (-s + 2.0 * p + r * c), 0.5 * (-c - 2.0 * r * p - r * s)};
  };
  const DirectionalFactors end = at(arc.exit_rad);
  const DirectionalFactors start = at(arc.entry_rad);
  return {end.xx - start.xx, end.xy - start.xy, end.yx - start.yx, end.yy - start.yy};
}

ZeroOrder::ZeroOrder(const CutModel& model, double radial_mm, Milling milling, int frequencies)
    : flutes_(model.cutter.flutes), branches_(2) {
  const double kt = model.force.tangential_n_mm2 * 1e6;
  const Arc arc = engaged_arc(radial_mm / model.cutter.diameter_mm, milling);
  const DirectionalFactors a = directional_factors(model.force.radial_n_mm2 / model.force.tangential_n_mm2, arc);

  double lowest_hz = 1e9;
  double highest_hz = 0;
  const Structure& s = model.structure;
  for (const auto* modes : {&s.tool_x, &s.tool_y, &s.part_x, &s.part_y}) {
    for (const Mode& mode : *modes) {
      lowest_hz = std::min(lowest_hz, mode.natural_hz);
      highest_hz = std::max(highest_hz, mode.natural_hz);
    }
  }
  const double from_hz = 0.3 * lowest_hz;
  const double ratio = 2.0 * highest_hz / from_hz;
  std::complex<double> last_first;
  for (int i = 0; i < frequencies; ++i) {
    const double hz = from_hz * std::pow(ratio, static_cast<double>(i) / (frequencies - 1));
    const TipResponse g = tip_response(s, hz);
    const std::complex<double> a0 = g.x_m_n * g.y_m_n * (a.xx * a.yy - a.xy * a.yx);
    const std::complex<double> a1 = a.xx * g.x_m_n + a.yy * g.y_m_n;
    std::complex<double> lambda[2];
    if (std::abs(a0) < 1e-9 * std::norm(a1)) {  // one direction only
      lambda[0] = -1.0 / a1;
      lambda[1] = 0;
    } else {
      const std::complex<double> root = std::sqrt(a1 * a1 - 4.0 * a0);
      lambda[0] = -(a1 + root) / (2.0 * a0);
      lambda[1] = -(a1 - root) / (2.0 * a0);
      // The square root changes sign where it will; a branch goes on where it is nearest to itself.
      if (i > 0 && std::abs(lambda[1] - last_first) < std::abs(lambda[0] - last_first)) std::swap(lambda[0], lambda[1]);
      last_first = lambda[0];
    }
    for (std::size_t branch = 0; branch < 2; ++branch) {
      const std::complex<double> l = lambda[branch];
      Sample sample{.chatter_hz = hz};
      if (l.real() < 0) {
        sample.kappa = l.imag() / l.real();
        sample.depth_mm = -2e3 * kPi * l.real() / (flutes_ * kt) * (1.0 + sample.kappa * sample.kappa);
        sample.waves = (kPi - 2.0 * std::atan(sample.kappa)) / (2.0 * kPi);
      }
      branches_[branch].push_back(sample);
    }
  }
}

LowestLimit ZeroOrder::lowest() const {
  const Sample* best = nullptr;
  for (const auto& branch : branches_) {
    for (const Sample& sample : branch) {
      if (sample.depth_mm > 0 && (best == nullptr || sample.depth_mm < best->depth_mm)) best = &sample;
    }
  }
  if (best == nullptr) return {};
  return {best->chatter_hz, best->depth_mm, best->kappa, 60.0 * best->chatter_hz / (flutes_ * best->waves)};
}

StabilityLimit ZeroOrder::limit(double spindle_rpm, double greatest_depth_mm) const {
  StabilityLimit found{.spindle_rpm = spindle_rpm, .depth_mm = greatest_depth_mm, .open = true};
  const double teeth_hz = flutes_ * spindle_rpm / 60.0;
  for (const auto& branch : branches_) {
    for (std::size_t i = 1; i < branch.size(); ++i) {
      const Sample& a = branch[i - 1];
      const Sample& b = branch[i];
      if (a.depth_mm <= 0 || b.depth_mm <= 0) continue;
      // Whole waves between teeth at this speed, as a real number, at either end: a lobe passes where it is whole.
      const double at_a = a.chatter_hz / teeth_hz - a.waves;
      const double at_b = b.chatter_hz / teeth_hz - b.waves;
      if (std::abs(at_a - at_b) > 0.5) continue;  // the fraction wrapped round
      const double whole = std::ceil(std::min(at_a, at_b));
      if (whole < 0 || whole > std::max(at_a, at_b)) continue;
      const double share = at_a == at_b ? 0.5 : (whole - at_a) / (at_b - at_a);
      const double depth_mm = a.depth_mm + share * (b.depth_mm - a.depth_mm);
      if (depth_mm < found.depth_mm) {
        found.depth_mm = depth_mm;
        found.open = false;
        found.chatter_hz = a.chatter_hz + share * (b.chatter_hz - a.chatter_hz);
      }
    }
  }
  return found;
}

}  // namespace hushmill::cutting
