// Findings made by hand: cuts and chatters at given times. All invented.
#pragma once

#include "listen/findings.hpp"
#include "trial/judge.hpp"

namespace hushmill::test {

inline listen::Episode chatter(double start_s, double end_s, double hz = 1200) {
  listen::Episode episode;
  episode.start_s = start_s;
  episode.alert_s = start_s + 0.1;
  episode.end_s = end_s;
  episode.open = false;
  episode.chatter_hz = hz;
  return episode;
}

/// A later trial, at 6000 rev/min, after a change at `from_s`.
inline trial::Stretch after_change(double from_s, double to_s) {
  trial::Stretch stretch;
  stretch.from_s = from_s;
  stretch.to_s = to_s;
  stretch.first = false;
  stretch.spindle_rpm = 6000;
  return stretch;
}

/// The first trial of a session.
inline trial::Stretch from_the_start(double to_s) {
  trial::Stretch stretch;
  stretch.to_s = to_s;
  stretch.spindle_rpm = 6000;
  return stretch;
}

}  // namespace hushmill::test
