// The figures of the labelled corpus, each with what is required of it, and the tables beside them.
#pragma once

#include <span>
#include <string>

#include "bench/hearing_corpus.hpp"
#include "bench/section.hpp"

namespace hushmill::bench {

/// Found and falsely alarmed, delay, frequency and speed of the trials, under `name`.
void report_hearing(Report& report, const std::string& name, std::span<const Trial> trials);

/// False alarms by kind, the verdicts against the truth, delay against how loud the room is.
void report_tables(Report& report, std::span<const Trial> trials);

/// The oracle's delay beside the engine's, and the published once-per-revolution variance beside the engine's answer.
void report_second_opinions(Report& report, std::span<const Trial> trials);

/// One line for every file that was got wrong, with the reason where it can be told.
void report_wrong(Report& report, std::span<const Trial> trials);

}  // namespace hushmill::bench
