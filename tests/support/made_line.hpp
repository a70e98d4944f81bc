// A line of a spectrum that a test makes up.
#pragma once

#include <cmath>

#include "signal/lines.hpp"

namespace hushmill::test {

/// `over_db`: over the background.
inline signal::Line made_line(double hz, double dbfs, double over_db) {
  signal::Line made;
  made.hz = hz;
  made.power = std::pow(10, dbfs / 10);
  made.over = std::pow(10, over_db / 10);
  return made;
}

}  // namespace hushmill::test
