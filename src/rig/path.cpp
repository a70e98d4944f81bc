#include "rig/path.hpp"

#include <algorithm>
#include <cmath>

namespace hushmill::rig {

Place place_on_path(const PathSettings& path, double travelled_mm, double radial_fraction,
                    cutting::Milling milling) noexcept {
  using cutting::kPi;
  if (path.kind == Path::slot) return {cutting::engaged_arc(1.0, milling), 0.0};
  const cutting::Arc along = cutting::engaged_arc(radial_fraction, milling);
  if (path.kind == Path::wall) return {along, 0.0};

  const double lap = path.side_mm;
  const double sides = std::floor(travelled_mm / lap);
  const double here = travelled_mm - sides * lap;              // since the last corner's middle
  const double before = std::min(lap - here, path.corner_mm);  // to the next corner's middle
  const double after = sides > 0 ? std::min(here, path.corner_mm) : path.corner_mm;
  double turned = sides;
  turned += 0.5 * (1.0 - before / path.corner_mm);
  if (sides > 0) turned -= 0.5 * (1.0 - after / path.corner_mm);
  Place place{along, std::fmod(turned, 4.0) * 0.5 * kPi};
  if (path.kind == Path::pocket) {
    const double nearness = 1.0 - std::min(before, after) / path.corner_mm;
    place.arc = cutting::arc_of_width(along.exit_rad - along.entry_rad + 0.5 * kPi * nearness, milling);
  }
  return place;
}

}  // namespace hushmill::rig
