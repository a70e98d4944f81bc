// The cut card's and the simulator's rows, with the field that is being typed in. Pure.
#pragma once

#include "dashboard/instruments.hpp"
#include "dashboard/view_state.hpp"

namespace hushmill::dashboard {

CutView prepare_cut(const live::CutCard& card, const ViewState& view);
RigView prepare_rig(const rig::RigControls& controls, const ViewState& view);

/// Place of a knob's value on its bar, and back. The speed's bar is logarithmic, for it spans decades.
double rig_share(Field field, const rig::RigControls& controls);
rig::RigControls with_rig_share(Field field, double share, const rig::RigControls& controls);

}  // namespace hushmill::dashboard
