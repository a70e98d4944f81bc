#include "listen/verdict.hpp"

#include "listen/findings.hpp"

namespace hushmill::listen {

std::string_view word(Verdict verdict) noexcept {
  switch (verdict) {
    case Verdict::no_cut: return "no_cut";
    case Verdict::steady: return "steady";
    case Verdict::forced_vibration: return "forced_vibration";
    case Verdict::building: return "building";
    case Verdict::chatter: return "chatter";
  }
  return "no_cut";
}

std::string_view word(ChatterKind kind) noexcept {
  return kind == ChatterKind::hopf ? "hopf" : "period_doubling";
}

std::string_view word(PeakRole role) noexcept {
  switch (role) {
    case PeakRole::tooth: return "tooth";
    case PeakRole::rotation: return "rotation";
    case PeakRole::chatter: return "chatter";
    case PeakRole::room: return "room";
    case PeakRole::foreign: return "foreign";
    case PeakRole::unexplained: return "unexplained";
  }
  return "unexplained";
}

std::string_view word(EventKind kind) noexcept {
  switch (kind) {
    case EventKind::cut_begins: return "cut_begins";
    case EventKind::chatter_onset: return "chatter_onset";
    case EventKind::chatter_ends: return "chatter_ends";
    case EventKind::cut_ends: return "cut_ends";
    case EventKind::foreign_tone: return "foreign_tone";
    case EventKind::forced_vibration: return "forced_vibration";
    case EventKind::other_speed_fits: return "other_speed_fits";
  }
  return "cut_begins";
}

std::string_view word(Warning warning) noexcept {
  switch (warning) {
    case Warning::bad_samples: return "bad_samples";
    case Warning::clipped: return "clipped";
    case Warning::silent: return "silent";
    case Warning::no_room: return "no_room";
    case Warning::speed_not_heard: return "speed_not_heard";
    case Warning::speed_differs: return "speed_differs";
    case Warning::other_speed_fits: return "other_speed_fits";
    case Warning::unexplained_tone: return "unexplained_tone";
    case Warning::high_lobe: return "high_lobe";
    case Warning::faint: return "faint";
    case Warning::dc_offset: return "dc_offset";
    case Warning::mains_hum: return "mains_hum";
    case Warning::dropped_samples: return "dropped_samples";
    case Warning::one_sided: return "one_sided";
    case Warning::sides_cancel: return "sides_cancel";
    case Warning::rate_mismatch: return "rate_mismatch";
    case Warning::narrow_band: return "narrow_band";
    case Warning::noise_suppression: return "noise_suppression";
    case Warning::automatic_gain: return "automatic_gain";
  }
  return "bad_samples";
}

}  // namespace hushmill::listen
