#include "app/warning_texts.hpp"

#include <cmath>

#include <fmt/format.h>

namespace hushmill::app {

namespace {
// The stretch whose heard speed is furthest from what was entered.
const listen::SpeedStretch* furthest(const listen::Findings& findings) {
  const listen::SpeedStretch* found = nullptr;
  const auto off = [](const listen::SpeedStretch& s) { return std::abs(*s.measured_rpm / s.entered_rpm - 1.0); };
  for (const auto& stretch : findings.stretches)
    if (stretch.measured_rpm && (found == nullptr || off(stretch) > off(*found))) found = &stretch;
  return found;
}

std::string flutes_text(int flutes) { return fmt::format("{} flute{}", flutes, flutes == 1 ? "" : "s"); }
}  // namespace

std::string warning_text(listen::Warning warning, const listen::Findings& findings) {
  using listen::Warning;
  switch (warning) {
    case Warning::bad_samples: return "The sound held samples that are no numbers; they were taken as silence.";
    case Warning::clipped: return "The sound is clipped; move the microphone away or turn its level down.";
    case Warning::silent: return "There is nothing but silence; check the microphone and its channel.";
    case Warning::no_room: return "Less than a second of room was heard before the cut; early alarms are less sure. Start listening sooner.";
    case Warning::speed_not_heard:
      for (const auto& stretch : findings.stretches)
        if (!stretch.measured_rpm && findings.stretches.size() > 1)
          return fmt::format("S{:.0f}, entered at {:.1f} s, was not heard in the sound; check what was entered.", stretch.entered_rpm, stretch.from_s);
      return "The spindle speed cannot be told from the sound; the entered one was used.";
    case Warning::speed_differs: {
      const auto* stretch = furthest(findings);
      if (stretch == nullptr) return "The sound says a spindle speed that differs from the entered one by more than half a percent.";
      return fmt::format("The sound says {:.0f} rev/min where {:.0f} was entered, {:+.1f} %.", *stretch->measured_rpm, stretch->entered_rpm,
                         100.0 * (*stretch->measured_rpm / stretch->entered_rpm - 1.0));
    }
    case Warning::other_speed_fits: 
      if (!findings.other_fit) return "For a while another speed or flute count explained the sound far better than what was entered; check both.";
      return fmt::format("{:.0f} rev/min with {} explains the sound far better than what was entered; check the speed, the override and the flute count.",
                         findings.other_fit->spindle_rpm, flutes_text(findings.other_fit->flutes));
    case Warning::unexplained_tone: {
      std::string text = "An unexplained tone may be chatter: loud, on its own, neither the teeth's nor the room's";
      for (const auto& tone : findings.foreign_tones)
        if (tone.may_be_chatter) return text + fmt::format(" ({:.0f} Hz at {:.1f} s). Listen, look at the surface, and see whether it stops with the cut.", tone.hz, tone.start_s);
      return text + ".";
    }
    case Warning::high_lobe: return "Many waves fit between two teeth; a change of speed buys little here.";
    case Warning::faint: return "The input is nearly dead: turn its level up, unmute it, or choose the right microphone.";
    case Warning::dc_offset: return "The sound does not swing round zero, which eats headroom and points at a faulty input; try another input or cable.";
    case Warning::mains_hum: return "Mains hum stands beside the sound; run the laptop on its battery, or use another input or cable.";
    case Warning::dropped_samples: return "Pieces of the sound are missing or doubled; close other programs, plug the microphone in directly.";
    case Warning::one_sided: return "One channel is (nearly) dead while the other is not: choose the live one, --channel left or --channel right.";
    case Warning::sides_cancel: return "The two channels are in opposite phase and cancel in the mix; listen to one of them, as --channel left.";
    case Warning::rate_mismatch: return "The sound was made at another sample rate than stated, so every frequency and speed may be wrong; set the device to 48 kHz.";
    case Warning::narrow_band: return "The sound ends at an edge as of a telephone or headset link; choose the built-in or a wired microphone.";
    case Warning::noise_suppression: return "Something takes steady sound out, and chatter is steady; switch noise suppression off in the sound settings.";
    case Warning::automatic_gain: return "The level is turned up and down automatically; switch automatic gain off in the sound settings.";
  }
  return "";
}

}  // namespace hushmill::app
