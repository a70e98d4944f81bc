// What the engine can say of a moment, and the short words for it. No text for the screen lives here.
#pragma once

#include <string_view>

namespace hushmill::listen {

/// State of the cut at one moment. `building` exists only live: evidence is gathering, the alarm has not been raised.
enum class Verdict { no_cut, steady, forced_vibration, building, chatter };

/// How the chatter lost stability: quasi-periodic (secondary Hopf) or at half the tooth frequency (flip).
enum class ChatterKind { hopf, period_doubling };

/// What a spectral peak is taken for.
enum class PeakRole { tooth, rotation, chatter, room, foreign, unexplained };

/// The words used in JSON: "no_cut", "steady", "forced_vibration", "building", "chatter".
std::string_view word(Verdict verdict) noexcept;
/// "hopf" or "period_doubling".
std::string_view word(ChatterKind kind) noexcept;
/// "tooth", "rotation", "chatter", "room", "foreign", "unexplained".
std::string_view word(PeakRole role) noexcept;

}  // namespace hushmill::listen
