// What only the door can know about its two channels, told to the engine.
#pragma once

#include "capture/source.hpp"
#include "listen/listener.hpp"

namespace hushmill::app {

inline void tell_of_sides(const capture::Source& source, listen::Listener& listener) {
  switch (source.sides_fault()) {
    case capture::SidesFault::none: break;
    case capture::SidesFault::one_sided: listener.warn(listen::Warning::one_sided); break;
    case capture::SidesFault::sides_cancel: listener.warn(listen::Warning::sides_cancel); break;
  }
}

}  // namespace hushmill::app
