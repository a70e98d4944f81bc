#include "dashboard/screen.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "dashboard/card_views.hpp"
#include "dashboard/draw_greeting.hpp"
#include "dashboard/instruments.hpp"
#include "dashboard/keeping_view.hpp"

namespace hushmill::dashboard {
namespace {

void ease_ladder(LadderView& ladder, ViewState& view, double dt_s) {
  ladder.rpm.from = view.ladder_from.toward(ladder.rpm.from, dt_s);
  ladder.rpm.to = view.ladder_to.toward(ladder.rpm.to, dt_s);
}

/// In the spectrum, in the spectrogram, or where a key put it.
std::optional<Cursor> cursor_at(const Canvas& canvas, const Layout& layout, const Axis& hz, const History& history,
                                const ViewState& view, const listen::Snapshot& snapshot, const Input& input) {
  const Rect spectrum = spectrum_plot(canvas, layout.spectrum), past = history_plot(canvas, layout.history);
  if (spectrum.contains(input.mouse_x, input.mouse_y)) {
    const double at_hz = hz.value(static_cast<double>((input.mouse_x - spectrum.x) / spectrum.w));
    return Cursor{at_hz, std::nullopt, read_out(snapshot, at_hz)};
  }
  if (past.contains(input.mouse_x, input.mouse_y)) {
    const double at_hz = hz.value(static_cast<double>((past.bottom() - input.mouse_y) / past.h));
    const double ago_s = History::kSpanS * static_cast<double>((past.right() - input.mouse_x) / past.w);
    const double t_s = history.newest_s() - ago_s;
    return Cursor{at_hz, t_s, read_past(snapshot, at_hz, ago_s, history.dbfs_at(t_s, at_hz))};
  }
  if (view.reading_hz) return Cursor{*view.reading_hz, std::nullopt, read_out(snapshot, *view.reading_hz)};
  return std::nullopt;
}

/// Of the seconds that the picture of the past shows, oldest first.
Few<double, 64> onsets(const live::State& state, const History& history) {
  Few<double, 64> times_s;
  for (const listen::Episode& episode : state.episodes)
    if (episode.start_s >= history.newest_s() - History::kSpanS) times_s.push_back(episode.start_s);
  return times_s;
}

}  // namespace

Rect window_of(const Layout& layout) noexcept {
  return {0, 0, layout.band.right() + layout.band.x, layout.cautions.bottom() + layout.band.y};
}

Axis shown_hz(const ViewState& view, const listen::Snapshot& snapshot) {
  const double top_hz = std::max(100.0, view.hz_to.value());
  Axis axis{0, top_hz, view.logarithmic};
  if (view.hz_zoom) {
    axis.from = view.hz_zoom->from;
    axis.to = view.hz_zoom->to;
  }
  if (axis.logarithmic) axis.from = std::max(axis.from, std::max(20.0, snapshot.bin_hz));
  return axis;
}

void draw_screen(Canvas& canvas, const Layout& layout, const Scene& scene, ViewState& view, const Input& input) {
  if (view.greeting) {
    draw_greeting(canvas, window_of(layout), *view.greeting, view.units);
    return;
  }
  const live::State& state = scene.state;
  const listen::Snapshot& shown = view.held ? *view.held : state.snapshot;
  view.hz_to.toward(interesting_hz(shown), input.dt_s);

  Again& again = view.again;
  const trial::SpeedTable& speeds = again.speeds.of(state.trials);
  const AdviceView advice = prepare_advice(state, scene.session, view.units, speeds);
  pass_time(view, state, input.dt_s);
  VerdictView verdict = prepare_verdict(state, scene.session, advice);
  if (view.past) verdict.do_line = view.past->order;  // what was advised then is no order for now
  draw_band(canvas, layout, verdict, prepare_keeping(state, view));
  draw_advice(canvas, layout.advice, advice, layout.look == Look::room);
  draw_cautions(canvas, layout.cautions, advice, layout.look == Look::room);
  if (layout.look != Look::room) {
    LadderView ladder = prepare_ladder(state, advice, speeds);
    ease_ladder(ladder, view, input.dt_s);
    draw_ladder(canvas, layout.ladder, ladder);
    again.folded = prepare_folded(shown, std::move(again.folded));
    draw_folded(canvas, layout.folded, again.folded);

    const Axis hz = shown_hz(view, shown);
    const Rect plot = spectrum_plot(canvas, layout.spectrum);
    SpectrumView& spectrum = again.spectrum;
    spectrum = prepare_spectrum(shown, hz, static_cast<int>(plot.w), std::move(spectrum));
    const double span_db = spectrum.dbfs.to - spectrum.dbfs.from;
    spectrum.dbfs.to = view.db_to.toward(spectrum.dbfs.to, input.dt_s);
    spectrum.dbfs.from = spectrum.dbfs.to - span_db;
    const auto cursor = cursor_at(canvas, layout, hz, scene.history, view, shown, input);
    draw_spectrum(canvas, layout.spectrum, spectrum, cursor, view.held.has_value());
    draw_history(canvas, layout.history, scene.history, scene.history_texture, hz, onsets(state, scene.history), cursor, view.past.has_value());
    draw_trials(canvas, layout.trials, prepare_trials(state, speeds));
    again.timeline = prepare_timeline(scene.whole ? *scene.whole : scene.session, state.episodes,
                                      timeline_columns(canvas, layout.timeline), view.past, std::move(again.timeline));
    show_gaps(again.timeline, state.lost);
    draw_timeline(canvas, layout.timeline, again.timeline, view.past);
    if (!layout.cut.empty()) draw_cut(canvas, layout.cut, prepare_cut(state.card, view));
    if (!layout.microphone.empty()) draw_microphone(canvas, layout.microphone, prepare_microphone(state));
    if (!layout.rig.empty() && state.rig) draw_rig(canvas, layout.rig, prepare_rig(*state.rig, view));
    if (!layout.lesson.empty()) draw_lesson(canvas, layout.lesson, prepare_lesson(state, advice.doubted));
  }
  // Over the instruments, never over the verdict.
  const float top = layout.band.bottom();
  const Rect window{0, top, layout.band.right() + layout.band.x, layout.cautions.bottom() + layout.band.y - top};
  if (state.check) draw_check(canvas, window, prepare_check(state));
  // A small window has room for the keys only where the verdict stands.
  const Rect keys_window = window.h < canvas.px(360) ? window_of(layout) : window;
  if (view.show_keys > keys_pages(canvas, keys_window, state.rig.has_value())) view.show_keys = 0;
  if (view.show_keys > 0) draw_keys(canvas, keys_window, state.rig.has_value(), view.show_keys);
}

}  // namespace hushmill::dashboard
