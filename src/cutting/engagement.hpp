// Where a tooth is in the material. Angles count from the y axis with the rotation, x being the feed direction, as in
// Y. Altintas, E. Budak, "Analytical Prediction of Stability Lobes in Milling", Annals of the CIRP 44/1 (1995) 357-362.
#pragma once

namespace hushmill::cutting {

enum class Milling { climb, conventional };

/// The arc between entry and exit of a tooth, rad, 0 ≤ entry < exit ≤ π.
struct Arc {
  double entry_rad = 0;
  double exit_rad = 0;
};

/// Arc of a cut of the given radial depth; full slots are the same both ways. Geometry: conventional starts at 0 and
/// ends at acos(1 − 2a/D), climb starts at π less that and ends at π. `radial_fraction` is a/D, clamped to 0 … 1.
Arc engaged_arc(double radial_fraction, Milling milling) noexcept;

/// The same from the width of the arc, clamped to 0 … π.
Arc arc_of_width(double width_rad, Milling milling) noexcept;

}  // namespace hushmill::cutting
