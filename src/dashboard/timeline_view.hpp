// The whole session as one strip: runs of verdicts, one worst verdict a pixel, and the speeds under it. Pure.
#pragma once

#include <optional>
#include <utility>
#include <vector>

#include "dashboard/past_view.hpp"
#include "dashboard/session.hpp"
#include "dashboard/tone.hpp"
#include "dashboard/words.hpp"

namespace hushmill::dashboard {

/// A run of pixels of one verdict.
struct TimelineRun {
  int from_px = 0;
  int to_px = 0;  ///< one past the last
  listen::Verdict verdict = listen::Verdict::no_cut;
  bool doubted = false;  ///< as in Segment
};

/// A stretch of one entered speed.
struct TimelineSpeed {
  double from = 0;  ///< share of the strip, 0 to 1
  double to = 0;
  Words label;
};

struct TimelineView {
  double from_s = 0;
  double to_s = 0;
  std::vector<TimelineRun> runs;
  std::vector<TimelineSpeed> speeds;
  std::vector<int> worst;       ///< the worst verdict of each pixel as badness, -1 where there is none
  std::vector<double> returns;  ///< shares of the strip where chatter came back
  std::vector<double> gaps;     ///< shares of the strip where sound was lost
};

/// The last session, at least `least_span_s` wide so that a young session does not stretch and twitch.
TimelineView prepare_timeline(const Session& session, const std::vector<listen::Episode>& episodes, int pixel_columns,
                              double least_span_s = 60);

/// From when to when the strip goes: of a replay the whole recording, else as prepare_timeline says.
std::pair<double, double> timeline_span(const Session& session, const std::optional<PastView>& past, double least_span_s = 60) noexcept;
/// The same as prepare_timeline over that span. `again` gives its memory to the answer.
TimelineView prepare_timeline(const Session& session, const std::vector<listen::Episode>& episodes, int pixel_columns,
                              const std::optional<PastView>& past, TimelineView again = {});

/// Shows where sound was lost; what lies outside the strip is left out.
void show_gaps(TimelineView& view, const std::vector<live::LostSound>& lost);

Tone tone_of(listen::Verdict verdict) noexcept;

}  // namespace hushmill::dashboard
