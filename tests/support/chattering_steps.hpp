// How much of the speed knob chatters on the simulated machine: one measure for the tests and the benchmark.
#pragma once

#include "rig/trial.hpp"

namespace hushmill::test {

/// How many of the knob's steps from 50 to 120 percent of the start speed chatter.
inline int chattering_steps(rig::RigSettings settings) {
  const double programmed_rpm = settings.start.spindle_rpm;
  int chattering = 0;
  for (int percent = 50; percent <= 120; percent += 10) {
    settings.start.spindle_rpm = programmed_rpm * percent / 100;
    if (rig::try_cut(settings, 1.0).chattered) ++chattering;
  }
  return chattering;
}

}  // namespace hushmill::test
