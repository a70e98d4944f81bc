#include "lessons/wavy_words.hpp"

#include <algorithm>
#include <cmath>

#include "lessons/controls.hpp"

namespace hushmill::lessons {
namespace {

constexpr double kBeside = 0.1;     // of a wave: so near to a whole number the new one lies beside the old one
constexpr double kOwnNote = 0.06;   // a tooth multiple so near to the own note rings it
constexpr double kSameLine = 0.05;  // of a tooth multiple
constexpr double kNear = 0.02;      // of the limit
constexpr double kOnRotation = 0.1;  // of a rotation multiple
constexpr double kEvenUm = 0.5;     // chips that differ by less are even
const char* const kUm = "\u00a0\u00b5m";

double fraction(const WallPicture& wall) { return wall.waves_per_tooth - std::floor(wall.waves_per_tooth); }
bool fits(const WallPicture& wall) { return fraction(wall) < kBeside || fraction(wall) > 1 - kBeside; }
std::string mm(double depth_mm, int decimals = 1) { return shown(depth_mm, decimals) + "\u00a0mm"; }
std::string limit_words(const WallPicture& wall) {
  const double share = wall.depth_mm / wall.limit_mm;
  return mm(wall.depth_mm) +
         (share < 1 - kNear   ? " is below"
          : share > 1 + kNear ? " is above"
                              : " is just at") +
         " the limit of " + mm(wall.limit_mm, 2) + " here";
}

std::string count_words(const WallPicture& wall) {
  const double whole = std::floor(wall.waves_per_tooth);
  return std::string(wall.measured ? "The tip swings at " : "By its own note the tip would swing at ") +
         shown(wall.wave_hz) + " Hz, the teeth come at " + shown(wall.tooth_hz) +
         " Hz: " + shown(wall.waves_per_tooth, 2) + " waves from tooth to tooth, " + shown(whole) + " whole and " +
         shown(wall.waves_per_tooth - whole, 2) + " of one.";
}

std::string push_words(const WallPicture& wall) {
  const double multiple = std::max(1.0, std::round(wall.waves_per_tooth)) * wall.tooth_hz;
  const bool rings = std::abs(multiple / wall.own_note_hz - 1) < kOwnNote;
  return "The wall stays wavy, \u00b1" + shown(wall.swing_um) + kUm + ", as the teeth push" +
         (rings ? " near the tool's own note (" + shown(multiple) + " and " + shown(wall.own_note_hz) + " Hz)" : "") +
         ". Each repeats the last one's wave, so the chip stays even: it is driven by the teeth, not by the wave.";
}

std::string state_words(const WallPicture& wall) {
  switch (wall.wave) {
    case Wave::no_cut:
      return "The tool is out of the cut: no chip, and no tooth leaves a wave to the next.";
    case Wave::even:
      if (wall.depth_mm >= wall.limit_mm)
        return "No wave is in the wall yet, but " + limit_words(wall) + ": one will grow.";
      return "No wave runs on in the wall: " + limit_words(wall) +
             (fits(wall) ? ", and a new wave would lie beside the old one."
                         : ". A new wave would not fit the old one, but the force is too weak to drive it on.");
    case Wave::forced:
      return push_words(wall);
    case Wave::grows:
      return fits(wall) ? "The wave grows: it nearly fits the old one, but " + limit_words(wall) + "."
                        : "The wave grows: it does not fit the old one, the chip swells and thins, and the force "
                          "drives the wave on.";
    case Wave::dies:
      return fits(wall)
                 ? "The wave dies: it lies beside the old one, the chip is nearly even, and nothing drives it on."
                 : "The wave dies, though it does not fit the old one: " + limit_words(wall) +
                       ", and the force is too weak to drive it on.";
    case Wave::holds:
      return "A wave runs on from tooth to tooth and just keeps its size: " + limit_words(wall) + ".";
    case Wave::bounded:
      return "The wave has grown until the tooth leaves the cut in its swing, and that bounds it. " +
             std::string(fits(wall) ? "It nearly fits the old one, but " + limit_words(wall) + "."
                                    : "The new wave does not fit the old one, and the force keeps it up.");
  }
  return "";
}

std::string chip_words(const WallPicture& wall) {
  if (wall.thickest_um - wall.thinnest_um < kEvenUm)
    return "The last tooth's chip was even, " + shown(wall.thickest_um) + kUm + ".";
  std::string words = "The last tooth's chip was " + shown(wall.thinnest_um) + " to " + shown(wall.thickest_um) + kUm;
  const std::string percent = shown(100 * std::abs(wall.growth_per_tooth - 1), 1) + "\u00a0%";
  if (wall.wave == Wave::grows) words += "; from tooth to tooth the wave grows by " + percent;
  if (wall.wave == Wave::dies) words += "; from tooth to tooth the wave shrinks by " + percent;
  return words + ".";
}

}  // namespace

std::vector<std::string> wall_words(const WallPicture& wall) {
  if (wall.wave == Wave::no_cut) return {count_words(wall), state_words(wall)};
  return {count_words(wall), state_words(wall), chip_words(wall)};
}

std::string death_words(const WallPicture& wall, double spindle_rpm) {
  return "At S" + shown(spindle_rpm) + " it died: " + shown(wall.waves_per_tooth, 2) + " waves from tooth to tooth, " +
         (fits(wall) ? "so the new one lies beside the old one."
                     : "not beside the old one, but " + limit_words(wall) + ".");
}

void name_family(Heard& heard, double wave_hz, double tooth_hz) {
  if (!heard.chatter_hz || tooth_hz <= 0) return;
  // A line below nought is heard as its mirror.
  double nearest_hz = 1e9;
  for (const double line_hz : {*heard.chatter_hz, -*heard.chatter_hz}) {
    const double off = std::round((line_hz - wave_hz) / tooth_hz);
    const double away_hz = std::abs(line_hz - wave_hz - off * tooth_hz);
    if (away_hz >= nearest_hz) continue;
    nearest_hz = away_hz;
    heard.multiples_off = static_cast<int>(off);
  }
  const bool family = nearest_hz <= kSameLine * tooth_hz;
  if (family && heard.multiples_off == 0) return;
  if (!family) heard.multiples_off = 0;
  heard.motion_hz = wave_hz;
}

/// "968 + 1 × 368 Hz", "968 − 1 × 368 Hz", "3 × 368 − 968 Hz".
std::string family_sum(const Heard& heard, double tooth_hz) {
  const int count = std::abs(heard.multiples_off);
  const std::string wave = shown(*heard.motion_hz),
                    teeth = std::to_string(count) + "\u00a0\u00d7\u00a0" + shown(tooth_hz);
  if (heard.multiples_off > 0) return wave + " + " + teeth + " Hz";
  return (count * tooth_hz > *heard.motion_hz ? teeth + " - " + wave : wave + " - " + teeth) + " Hz";
}

/// A wave is in the wall and no alarm is on: does the ear have a reason?
std::string silence_words(const WallPicture& wall) {
  const double rotation_hz = wall.tooth_hz / wall.flutes;
  const double nearest_hz = std::round(wall.wave_hz / rotation_hz) * rotation_hz;
  if (std::abs(wall.wave_hz - nearest_hz) > kOnRotation * rotation_hz) return "The engine raises no alarm, though the wave is in the wall: it hears, and does not see.";
  return "The engine raises no alarm: the tip's " + shown(wall.wave_hz) + " Hz stands beside a multiple of the rotation, " + shown(nearest_hz) +
         " Hz, where sound cannot tell chatter from a cutter that runs out. A little more or less speed parts them.";
}

std::string alarm_words(const WallPicture& wall, const Heard& heard) {
  const bool wavy = wall.wave == Wave::bounded || wall.wave == Wave::holds;
  const bool calm = heard.verdict == listen::Verdict::steady || heard.verdict == listen::Verdict::forced_vibration;
  constexpr double kLongEnoughS = 1.5;  // an alarm would have come
  if (wavy && calm && wall.measured && heard.quiet_s > kLongEnoughS) return silence_words(wall);
  if (heard.motion_hz && heard.multiples_off != 0)
    return "The engine's loudest line, " + shown(*heard.chatter_hz) +
           " Hz, is the same wave with the teeth: " + family_sum(heard, wall.tooth_hz) + ".";
  if (heard.motion_hz)
    return "The engine still names the " + shown(*heard.chatter_hz) + " Hz of before; the tip now swings at " +
           shown(*heard.motion_hz) + " Hz.";
  if (heard.chatter_hz && !wall.measured)
    return "The engine's alarm at " + shown(*heard.chatter_hz) +
           " Hz is still on, but less than a micrometre of that wave is in the wall.";
  return "";
}

}  // namespace hushmill::lessons
