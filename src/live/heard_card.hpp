// The cut card as the sound says it is: what one key takes over when the heard speed is not the entered one. Pure.
#pragma once

#include "listen/findings.hpp"
#include "live/cut_card.hpp"

namespace hushmill::live {

/// The programmed speed stays; the override becomes the step of the knob that is heard (within 0.8 percent), else the
/// percentage that fits. The flute count becomes the one that is heard.
CutCard card_as_heard(const CutCard& card, const listen::OtherFit& heard);

}  // namespace hushmill::live
