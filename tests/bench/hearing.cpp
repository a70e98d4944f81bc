// How well the engine hears: a labelled corpus by fixed seeds, half from the milling simulator and half from the
// additive generator, half with chatter that starts mid-file; and real sounds from outside, none of which is chatter.
//
// What is reported comes from seeds 20000 and up; the detector may be tuned on 1000 to 1999 and on nothing else.
// Environment: see DEVELOPERS.md, Tests.
#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>
#include <string>
#include <vector>

#include "bench/hearing_corpus.hpp"
#include "bench/hearing_midway.hpp"
#include "bench/hearing_outside.hpp"
#include "bench/hearing_report.hpp"
#include "bench/hearing_tone.hpp"
#include "bench/sections.hpp"
#include "bench/side_by_side.hpp"

namespace hushmill::bench {
namespace {

constexpr int kFiles = 1200;

std::string setting(const char* name) {
  const char* value = std::getenv(name);
  return value == nullptr ? "" : value;
}

void report_corpus(Report& report, std::uint64_t first_seed, int files) {
  std::vector<Trial> trials(static_cast<std::size_t>(files));
  side_by_side(trials.size(),
               [&](std::size_t i) { trials[i] = try_file(corpus_file(static_cast<int>(i), first_seed)); });
  report.note(fmt::format("{} files of 6 to 15 s, seeds {} to {}, cuts 0 to 20 dB over the room", files, first_seed,
                          first_seed + static_cast<std::uint64_t>(files) - 1));
  report.note(
      "delay counts from where vibration out of step passes 20 % of that in step, on the clean track; audible is "
      "6 dB over all else in its third-octave band");
  std::vector<Trial> simulated, additive;
  for (const Trial& t : trials) (t.file.additive ? additive : simulated).push_back(t);
  report_hearing(report, "all", trials);
  report_hearing(report, "simulated", simulated);
  report_hearing(report, "additive", additive);
  report_tables(report, trials);
  report_second_opinions(report, trials);
  report_wrong(report, trials);
}

}  // namespace

void hearing(Report& report) {
  const std::string only = setting("HUSHMILL_HEARING_ONLY");
  const bool tune = setting("HUSHMILL_HEARING_SEEDS") == "tune";
  const std::string asked = setting("HUSHMILL_HEARING_FILES");
  const int files = asked.empty() ? kFiles : std::clamp(std::atoi(asked.c_str()), 8, 20000);
  if (only.empty() || only == "outside") report_outside(report, tune ? 3000 : 30000);
  if (only.empty() || only == "tone") report_tone(report);
  if (only.empty() || only == "midway") report_midway(report, tune ? 5000 : 50000);
  if (only.empty() || only == "corpus")
    report_corpus(report, tune ? 1000 : 20000, tune ? std::min(files, 1000) : files);
}

}  // namespace hushmill::bench
