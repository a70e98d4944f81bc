#include "cutting/cutter.hpp"

#include <cmath>
#include <numeric>
#include <sstream>
#include <stdexcept>
#include <string>

#include "cutting/mode.hpp"

namespace hushmill::cutting {
namespace {

constexpr double kPitchSlackDeg = 0.01;

template <typename Value>
[[noreturn]] void refuse(const std::string& field, Value value, const std::string& right) {
  std::ostringstream line;
  line << field << " is " << value << "; " << right << " would be right";
  throw std::invalid_argument(line.str());
}

}  // namespace

void check(const Cutter& cutter) {
  if (cutter.flutes < 1 || cutter.flutes > 64) refuse("flutes", cutter.flutes, "1 to 64");
  if (!(cutter.diameter_mm > 0) || cutter.diameter_mm > 1000) {
    refuse("diameter_mm", cutter.diameter_mm, "more than 0 and at most 1000");
  }
  if (!(cutter.helix_deg >= 0) || cutter.helix_deg > 75) refuse("helix_deg", cutter.helix_deg, "0 to 75");
  const auto flutes = static_cast<std::size_t>(cutter.flutes);
  if (!cutter.pitch_deg.empty()) {
    if (cutter.pitch_deg.size() != flutes) {
      refuse("pitch_deg", std::to_string(cutter.pitch_deg.size()) + " angles long", "one angle a flute");
    }
    for (const double pitch : cutter.pitch_deg) {
      if (!(pitch > 0)) refuse("pitch_deg", pitch, "an angle above 0");
    }
    const double sum = std::accumulate(cutter.pitch_deg.begin(), cutter.pitch_deg.end(), 0.0);
    if (!(std::abs(sum - 360.0) <= kPitchSlackDeg)) refuse("the sum of pitch_deg", sum, "360");
  }
  if (!cutter.runout_um.empty()) {
    if (cutter.runout_um.size() != flutes) {
      refuse("runout_um", std::to_string(cutter.runout_um.size()) + " values long", "one value a flute");
    }
    for (const double runout : cutter.runout_um) {
      if (!(std::abs(runout) <= 1000)) refuse("runout_um", runout, "-1000 to 1000");
    }
  }
}

std::vector<double> pitch_rad(const Cutter& cutter) {
  if (cutter.pitch_deg.empty()) {
    return std::vector<double>(static_cast<std::size_t>(cutter.flutes), 2.0 * kPi / cutter.flutes);
  }
  std::vector<double> pitch(cutter.pitch_deg);
  const double sum = std::accumulate(pitch.begin(), pitch.end(), 0.0);
  for (double& angle : pitch) angle *= 2.0 * kPi / sum;  // closes the circle to the last digit
  return pitch;
}

int pattern_teeth(const Cutter& cutter) {
  const std::vector<double> pitch = pitch_rad(cutter);
  const std::size_t flutes = pitch.size();
  for (std::size_t period = 1; period < flutes; ++period) {
    if (flutes % period != 0) continue;
    bool repeats = true;
    for (std::size_t j = 0; j < flutes; ++j) {
      repeats = repeats && std::abs(pitch[j] - pitch[(j + period) % flutes]) < 1e-9;
    }
    if (repeats) return static_cast<int>(period);
  }
  return cutter.flutes;
}

}  // namespace hushmill::cutting
