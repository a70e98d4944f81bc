#include "cutting/tool_beam.hpp"

#include <cmath>
#include <sstream>
#include <stdexcept>
#include <string>

namespace hushmill::cutting {
namespace {

constexpr int kSlices = 400;
constexpr double kExactOverRayleigh =
    0.2426722 / (33.0 / 140.0);  // moving share of a clamped rod's mass: 3/(βL)⁴ over 33/140

void positive(const std::string& field, double value) {
  if (value > 0 && std::isfinite(value)) return;
  std::ostringstream line;
  line << field << " is " << value << "; more than 0 would be right";
  throw std::invalid_argument(line.str());
}

struct TipShape {
  double compliance_m_n = 0;  // deflection of the tip per newton
  double moving_mass_kg = 0;  // mass at the tip of the same energy of motion
};

TipShape shape(const ToolBeam& beam, const ToolSupport& support, double stickout_mm) {
  positive("stickout_mm", stickout_mm);
  positive("shank_diameter_mm", beam.shank_diameter_mm);
  positive("fluted_share", beam.fluted_share);
  positive("youngs_modulus_gpa", beam.youngs_modulus_gpa);
  positive("density_kg_m3", beam.density_kg_m3);
  positive("translation_n_m", support.translation_n_m);
  positive("rotation_n_m_rad", support.rotation_n_m_rad);
  const double length = stickout_mm * 1e-3;
  const double step = length / kSlices;
  const double flutes_from = length - beam.flute_length_mm * 1e-3;
  double slope = length / support.rotation_n_m_rad;  // per newton at the tip
  double place = 1.0 / support.translation_n_m;
  double weighed = 0;
  for (int i = 0; i < kSlices; ++i) {
    const double middle = (i + 0.5) * step;
    const double diameter = beam.shank_diameter_mm * 1e-3 * (middle > flutes_from ? beam.fluted_share : 1.0);
    const double inertia = kPi * std::pow(diameter, 4) / 64.0;
    const double curvature = (length - middle) / (beam.youngs_modulus_gpa * 1e9 * inertia);
    const double there = place + 0.5 * step * slope + 0.125 * step * step * curvature;
    weighed += beam.density_kg_m3 * 0.25 * kPi * diameter * diameter * step * there * there;
    place += step * slope + 0.5 * step * step * curvature;
    slope += step * curvature;
  }
  return {place, kExactOverRayleigh * weighed / (place * place)};
}

}  // namespace

Mode tip_mode(const ToolBeam& beam, const ToolSupport& support, double stickout_mm, double damping_ratio) {
  const TipShape tip = shape(beam, support, stickout_mm);
  return {std::sqrt(1.0 / (tip.compliance_m_n * tip.moving_mass_kg)) / (2.0 * kPi), damping_ratio,
          1.0 / tip.compliance_m_n};
}

Mode held_otherwise(const Mode& measured, const HeldTool& before, const HeldTool& after) {
  const TipShape was = shape(before.beam, before.support, before.stickout_mm);
  const TipShape is = shape(after.beam, after.support, after.stickout_mm);
  const double stiffness = measured.stiffness_n_m * was.compliance_m_n / is.compliance_m_n;
  const double mass = measured.mass_kg();
  const double moved = mass >= was.moving_mass_kg ? mass - was.moving_mass_kg + is.moving_mass_kg
                                                  : mass * is.moving_mass_kg / was.moving_mass_kg;
  return {std::sqrt(stiffness / moved) / (2.0 * kPi), measured.damping_ratio, stiffness};
}

Mode with_support(const Mode& measured, double support_n_m) {
  const double share = 1.0 + support_n_m / measured.stiffness_n_m;
  return {measured.natural_hz * std::sqrt(share), measured.damping_ratio, measured.stiffness_n_m * share};
}

Mode at_overhang(const Mode& measured, double measured_at_mm, double overhang_mm) {
  positive("measured_at_mm", measured_at_mm);
  positive("overhang_mm", overhang_mm);
  const double ratio = measured_at_mm / overhang_mm;
  return {measured.natural_hz * ratio * ratio, measured.damping_ratio, measured.stiffness_n_m * ratio * ratio * ratio};
}

}  // namespace hushmill::cutting
