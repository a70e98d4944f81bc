// Length unit of the screen, chosen once. Values are stored in millimetres; the screen converts on the way in and out.
#pragma once

#include "cutting/speeds.hpp"

namespace hushmill::dashboard {

enum class Units { metric, inch };

using cutting::kMmPerInch;

}  // namespace hushmill::dashboard
