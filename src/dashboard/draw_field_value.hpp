// The value part of an editable row, shared by the cut card and the simulator's knobs.
#pragma once

#include "dashboard/instruments.hpp"

namespace hushmill::dashboard {

/// A value with its unit at the right; while it is typed in, an edge round it, what is typed, and a caret.
void draw_field_value(Canvas& canvas, const Rect& room, const FieldRow& row, const char* unit);

}  // namespace hushmill::dashboard
