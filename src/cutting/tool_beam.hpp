// How stick-out changes the tip of a tool: a stepped beam in series with what carries it. Pure functions.
//
// Deflection under a force at the tip by beam theory, F·L³/3EI for a plain rod; natural frequency by Rayleigh's
// quotient with that shape, scaled so that a plain clamped rod has exactly (βL)² = 3.5160 (W.T. Thomson, "Theory of
// Vibration with Applications", Appendix D.3). Holder and spindle yield in translation and in rotation at the nose,
// massless, in series with the beam. Good to say what a change of stick-out does; a tap test says what the tool really
// does.
#pragma once

#include "cutting/mode.hpp"

namespace hushmill::cutting {

struct ToolBeam {
  double shank_diameter_mm = 12;
  double flute_length_mm = 26;      ///< from the tip; bends like a rod of `fluted_share` of the diameter
  double fluted_share = 0.8;        ///< common in end-mill deflection papers (Kops and Vo 1990; from memory)
  double youngs_modulus_gpa = 590;  ///< of carbide with 10 % cobalt (from memory: 580 to 600)
  double density_kg_m3 = 14450;     ///< the same (from memory: 14 400 to 14 500)
};

/// What carries the tool, at the face of the holder. Invented typical values.
struct ToolSupport {
  double translation_n_m = 6e7;     ///< force over displacement
  double rotation_n_m_rad = 2.2e5;  ///< moment over angle, N·m/rad
};

/// The first mode of the tip, with the static stiffness there; damping as given.
Mode tip_mode(const ToolBeam& beam, const ToolSupport& support, double stickout_mm, double damping_ratio);

/// A tool in its holder: all that beam theory needs.
struct HeldTool {
  ToolBeam beam;
  ToolSupport support;
  double stickout_mm = 0;
};

/// A mode that was measured on one held tool, as it will be on another. Stiffness moves in the ratio of the static
/// stiffnesses. Of the moving mass, k/ω² of the measurement, the tool's own part moves by beam theory; what was
/// measured beyond that belongs to holder and spindle and stays. So a tool that sings by itself gains most in
/// frequency, one that rides on a heavy holder less, and both rise when the tool is shorter. The damping ratio stays.
Mode held_otherwise(const Mode& measured, const HeldTool& before, const HeldTool& after);

/// A part's mode when something of that stiffness is set against it at the cut: stiffness adds, mass stays (derived).
Mode with_support(const Mode& measured, double support_n_m);
/// A part's mode when it stands further out of its jaws or less: a cantilever's stiffness goes with L⁻³, its frequency
/// with L⁻² (W.T. Thomson, ibid.).
Mode at_overhang(const Mode& measured, double measured_at_mm, double overhang_mm);

}  // namespace hushmill::cutting
