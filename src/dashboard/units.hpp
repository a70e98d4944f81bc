// Length unit of the screen, chosen once. Values are stored in millimetres; the screen converts on the way in and out.
#pragma once

namespace hushmill::dashboard {

enum class Units { metric, inch };

inline constexpr double kMmPerInch = 25.4;  // exact by definition

}  // namespace hushmill::dashboard
