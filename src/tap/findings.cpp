#include "tap/findings.hpp"

namespace hushmill::tap {

std::string_view word(Warning warning) noexcept {
  switch (warning) {
    case Warning::no_taps: return "no_taps";
    case Warning::no_modes: return "no_modes";
    case Warning::few_taps: return "few_taps";
    case Warning::taps_differ: return "taps_differ";
    case Warning::little_ring: return "little_ring";
    case Warning::noisy: return "noisy";
    case Warning::no_room: return "no_room";
    case Warning::room_tones: return "room_tones";
    case Warning::clipped: return "clipped";
    case Warning::double_hits: return "double_hits";
    case Warning::too_quiet: return "too_quiet";
    case Warning::too_close: return "too_close";
    case Warning::bad_samples: return "bad_samples";
  }
  return "no_taps";
}

std::string_view text(Warning warning) noexcept {
  switch (warning) {
    case Warning::no_taps: return "No tap was heard: microphone closer, then a clearer tap.";
    case Warning::no_modes: return "Nothing rang long enough to be measured: tap elsewhere, with a harder tip, microphone closer.";
    case Warning::few_taps: return "Fewer than three taps count, so the spread is hardly known: tap three to five times.";
    case Warning::taps_differ: return "A mode was heard in half of the taps or fewer: tap the same place, in the same direction.";
    case Warning::little_ring: return "A mode dies within a few waves, so its damping is a rough figure only.";
    case Warning::noisy: return "The taps stand less than 15 dB over the room: microphone closer, or wait for quiet.";
    case Warning::no_room: return "Less than a quarter of a second was heard before the first tap, so tones of the room cannot be told from modes.";
    case Warning::room_tones: return "There were tones before the taps; they are the room's and are left out.";
    case Warning::clipped: return "Taps that were too loud for the microphone are left out: tap softer or lower the input.";
    case Warning::double_hits: return "The hammer bounced; those taps are left out: strike once, loosely held.";
    case Warning::too_quiet: return "Taps far weaker than the others are left out.";
    case Warning::too_close: return "Taps that came too soon after one another are left out: let each ring out.";
    case Warning::bad_samples: return "Samples that are no numbers were taken as silence.";
  }
  return "";
}

std::string_view word(WhyRejected why) noexcept {
  switch (why) {
    case WhyRejected::clipped: return "clipped";
    case WhyRejected::double_hit: return "double_hit";
    case WhyRejected::too_quiet: return "too_quiet";
    case WhyRejected::too_close: return "too_close";
  }
  return "too_quiet";
}

}  // namespace hushmill::tap
