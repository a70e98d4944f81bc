#include "dashboard/keeping_view.hpp"

#include <algorithm>
#include <cmath>

#include "dashboard/numbers.hpp"

namespace hushmill::dashboard {
namespace {

constexpr double kNewsS = 5;

Words clock_text(double seconds) {
  const auto whole = static_cast<long long>(seconds);
  const auto two = [](long long number) { return (number < 10 ? "0" : "") + std::to_string(number); };
  return whole < 3600 ? std::to_string(whole / 60) + ":" + two(whole % 60)
                      : std::to_string(whole / 3600) + ":" + two(whole / 60 % 60) + ":" + two(whole % 60);
}

}  // namespace

void pass_time(ViewState& view, const live::State& state, double dt_s) {
  view.drop_asked_s = std::max(0.0, view.drop_asked_s - dt_s);
  view.news_s = std::max(0.0, view.news_s - dt_s);
  if (!state.keeping) return;
  if (state.keeping->news != view.news || state.keeping->kept_recordings != view.news_recordings) {
    // What was said before this screen looked is no news, except that something was done.
    view.news = state.keeping->news;
    view.news_recordings = state.keeping->kept_recordings;
    view.news_s = kNewsS;
  }
}

KeepingMark prepare_keeping(const live::State& state, const ViewState& view) {
  if (view.past) return {view.past->mark, KeepingDot::none, view.past->mark_tone};
  if (!state.keeping) return {"No sound is kept", KeepingDot::none, Tone::neutral};
  const live::KeepingState& keeping = *state.keeping;
  KeepingMark mark;
  mark.dot = keeping.recording ? KeepingDot::disc : keeping.minute ? KeepingDot::ring : KeepingDot::none;
  if (view.drop_asked_s > 0) {
    const int count = keeping.kept_recordings;
    mark.text = "Delete " + (count == 0 ? Words("the minute in memory") : Words(std::to_string(count)) + (count == 1 ? " recording" : " recordings")) +
                "? Delete again: yes";
    mark.tone = Tone::abnormal;
  } else if (!keeping.sound_trouble.empty() || !keeping.journal_trouble.empty()) {
    mark.text = keeping.journal_trouble.empty() ? "A recording failed: see the log"
                : keeping.sound_trouble.empty() ? "The journal is not written: see the log"
                                                : "Not kept: the disk does not take it";
    mark.tone = Tone::abnormal;
  } else if (view.news_s > 0 && !view.news.empty()) {
    mark.text = view.news;
  } else if (keeping.recording) {
    mark.text = "Recording " + clock_text(keeping.recorded_s);
    if (keeping.missing_samples > 0 && state.source.sample_rate_hz > 0) {
      mark.text = mark.text + ", lacks " + in_time(static_cast<double>(keeping.missing_samples) / state.source.sample_rate_hz);
      mark.tone = Tone::abnormal;
    }
  } else if (keeping.minute) {
    mark.text = "Last " + std::to_string(std::lround(keeping.minute_s)) + " s in memory";
  } else {
    mark.text = "No sound is kept";
  }
  return mark;
}

}  // namespace hushmill::dashboard
