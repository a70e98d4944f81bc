// The sections of the benchmark, in the order in which they run. One function for each, in the file of its name.
#pragma once

#include <span>

#include "bench/section.hpp"

namespace hushmill::bench {

/// How fast a recording is reviewed, beside the bare cost of the transforms.
void speed(Report& report);

/// Real sounds from outside, one tone, and the labelled corpus: what is found, what is falsely alarmed, how late.
void hearing(Report& report);

/// Faults of the input: named when there, not named when not.
void microphone(Report& report);

/// The stability charts and the simulated machine: how fast, and how well they agree with each other and with the literature.
void physics(Report& report);

/// Does the advice cure simulated cuts, beside other ways and an all-knowing adviser. Some ten minutes.
void advice(Report& report);

/// Modes from made-up hammer taps, beside a half-power reading. Some minutes.
void tap(Report& report);

/// What the dashboard costs a frame, and how soon a verdict is on it. Needs Xvfb and PulseAudio. A minute or two.
void frame(Report& report);

std::span<const Section> sections();

}  // namespace hushmill::bench
