// What a screen may ask of the running instrument. Values, pushed through a ring; nobody waits for anybody.
#pragma once

#include <optional>
#include <variant>

#include "live/cut_card.hpp"
#include "live/keeping.hpp"
#include "rig/rig.hpp"
#include "trial/place.hpp"

namespace hushmill::live {

/// The person changed the cut card. A change of speed or flutes reaches the listener between two hops.
struct ChangeCard { CutCard card; };
/// The knobs of the simulated machine; ignored when the source is not the rig.
struct TurnRig { rig::RigControls controls; };
/// Let the rig be heard through the speakers, 0 (silent) to 1.
struct HearRig { double volume = 0; };

/// Begin the guided check of the microphone anew, or leave it.
struct CheckMicrophone { bool on = true; };

/// The person marks a place of the path: from mark to mark is a whole lap or pass.
struct MarkPass {};
/// From now on this kind of place is cut; none: nothing is said of it.
struct TagPlace { std::optional<trial::Place> place; };
/// What the sound says of speed and flutes is right, not the card: the card becomes so. Ignored while it says nothing.
struct TakeHeard {};

/// What is kept of the sound, see keeping.hpp; ignored where nothing is kept.
using Command = std::variant<ChangeCard, TurnRig, HearRig, CheckMicrophone, KeepMinute, HoldMinute, RecordSession, DropSound,
                             MarkPass, TagPlace, TakeHeard>;

}  // namespace hushmill::live
