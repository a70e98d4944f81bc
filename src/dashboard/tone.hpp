// What a colour, a shape or a line means: one enumeration for all of them, so that they cannot disagree.
#pragma once

namespace hushmill::dashboard {

enum class Tone { neutral, normal, abnormal, danger };

}  // namespace hushmill::dashboard
