#include "dashboard/timeline_view.hpp"

#include <algorithm>
#include <cmath>

#include "dashboard/axis.hpp"
#include "dashboard/numbers.hpp"

namespace hushmill::dashboard {

Tone tone_of(listen::Verdict verdict) noexcept {
  switch (verdict) {
    case listen::Verdict::steady:
      return Tone::normal;
    case listen::Verdict::forced_vibration:
    case listen::Verdict::building:
      return Tone::abnormal;
    case listen::Verdict::chatter:
      return Tone::danger;
    case listen::Verdict::no_cut:
      break;
  }
  return Tone::neutral;
}

namespace {

TimelineView over_span(const Session& session, const std::vector<listen::Episode>& episodes, int pixel_columns, std::pair<double, double> span_s,
                       TimelineView again) {
  TimelineView view = std::move(again);
  view.runs.clear();
  view.speeds.clear();
  view.returns.clear();
  view.from_s = span_s.first;
  view.to_s = span_s.second;
  if (pixel_columns < 1 || session.segments().empty()) return view;

  const Axis time{view.from_s, view.to_s, false};
  std::vector<int>& worst = view.worst;
  worst.assign(static_cast<std::size_t>(pixel_columns), -1);
  const auto pixel = [&](double t_s) { return time.share(t_s) * pixel_columns; };
  for (const Segment& segment : session.segments()) {
    const int from = std::clamp(static_cast<int>(std::floor(pixel(segment.from_s))), 0, pixel_columns - 1);
    const int to = std::clamp(static_cast<int>(std::ceil(pixel(segment.to_s))), from + 1, pixel_columns);
    for (int px = from; px < to; ++px) {
      int& at = worst[static_cast<std::size_t>(px)];
      at = std::max(at, 2 * badness(segment.verdict) + (segment.doubted ? 1 : 0));
    }
  }
  for (int px = 0; px < pixel_columns; ++px) {
    const int here = worst[static_cast<std::size_t>(px)];
    if (here < 0) continue;
    const auto verdict = static_cast<listen::Verdict>(here / 2);
    const bool doubted = here % 2 == 1;
    if (!view.runs.empty() && view.runs.back().to_px == px && view.runs.back().verdict == verdict && view.runs.back().doubted == doubted) {
      view.runs.back().to_px = px + 1;
    } else {
      view.runs.push_back({px, px + 1, verdict, doubted});
    }
  }
  double speed_rpm = -1;
  for (const Segment& segment : session.segments()) {
    if (segment.entered_rpm == speed_rpm) {
      view.speeds.back().to = time.share(segment.to_s);
      continue;
    }
    speed_rpm = segment.entered_rpm;
    view.speeds.push_back({time.share(segment.from_s), time.share(segment.to_s), grouped(speed_rpm)});
  }
  for (const listen::Episode& episode : episodes) {
    if (episode.return_of && time.holds(episode.start_s)) view.returns.push_back(time.share(episode.start_s));
  }
  return view;
}

}  // namespace

void show_gaps(TimelineView& view, const std::vector<live::LostSound>& lost) {
  view.gaps.clear();
  const Axis time{view.from_s, view.to_s, false};
  for (const live::LostSound& gap : lost) {
    if (time.holds(gap.t_s)) view.gaps.push_back(time.share(gap.t_s));
  }
}

std::pair<double, double> timeline_span(const Session& session, const std::optional<PastView>& past, double least_span_s) noexcept {
  if (past && past->recording) return {0, std::max(past->length_s, 1e-9)};
  // The end steps on in round stretches instead of creeping, so that the strip stands still most of the time.
  const double span = std::max(session.to_s() - session.from_s(), 1e-9);
  return {session.from_s(),
          session.from_s() + (span <= least_span_s ? least_span_s : std::ceil(span / (least_span_s / 2)) * (least_span_s / 2))};
}

TimelineView prepare_timeline(const Session& session, const std::vector<listen::Episode>& episodes, int pixel_columns, double least_span_s) {
  return over_span(session, episodes, pixel_columns, timeline_span(session, std::nullopt, least_span_s), {});
}

TimelineView prepare_timeline(const Session& session, const std::vector<listen::Episode>& episodes, int pixel_columns,
                              const std::optional<PastView>& past, TimelineView again) {
  return over_span(session, episodes, pixel_columns, timeline_span(session, past), std::move(again));
}

}  // namespace hushmill::dashboard
