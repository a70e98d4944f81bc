// The instruments: each draws a prepared view into a rectangle and decides nothing. One .cpp file each.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string_view>
#include <vector>

#include "dashboard/advice_view.hpp"
#include "dashboard/canvas.hpp"
#include "dashboard/check_view.hpp"
#include "dashboard/field.hpp"
#include "dashboard/folded_view.hpp"
#include "dashboard/history_view.hpp"
#include "dashboard/keeping_view.hpp"
#include "dashboard/ladder_view.hpp"
#include "dashboard/layout.hpp"
#include "dashboard/lesson_view.hpp"
#include "dashboard/microphone_view.hpp"
#include "dashboard/spectrum_view.hpp"
#include "dashboard/timeline_view.hpp"
#include "dashboard/trials_view.hpp"
#include "dashboard/verdict_view.hpp"
#include "dashboard/words.hpp"

namespace hushmill::dashboard {

/// The verdict band: shape, word and plain words; at its right edge what is kept of the sound.
void draw_band(Canvas& canvas, const Layout& layout, const VerdictView& view, const KeepingMark& keeping);
/// The verdict's shape alone, centred in a square.
void draw_shape(Canvas& canvas, const Rect& square, Shape shape, Tone tone);

void draw_ladder(Canvas& canvas, const Rect& rect, const LadderView& view);

void draw_folded(Canvas& canvas, const Rect& rect, const FoldedView& view);

/// The spectrum's plot area within its panel, so that the caller can tell what the mouse is over.
Rect spectrum_plot(const Canvas& canvas, const Rect& rect);
/// What is pointed at, drawn as a hair line in spectrum and spectrogram.
struct Cursor {
  double hz = 0;
  std::optional<double> t_s{};        ///< when the spectrogram is pointed at
  Spellings readings;  ///< best first
};
void draw_spectrum(Canvas& canvas, const Rect& rect, const SpectrumView& view, const std::optional<Cursor>& cursor,
                   bool held);

/// The last seconds. `texture` holds History's columns, `hz` is the stretch shown, `onsets_s` are stream times.
void draw_history(Canvas& canvas, const Rect& rect, const History& history, std::uintptr_t texture, const Axis& hz,
                  std::span<const double> onsets_s, const std::optional<Cursor>& cursor, bool past);
/// The spectrogram's plot area within its panel.
Rect history_plot(const Canvas& canvas, const Rect& rect);

/// `past`: the moment that is shown, when it is not now.
void draw_timeline(Canvas& canvas, const Rect& rect, const TimelineView& view, const std::optional<PastView>& past = std::nullopt);
/// Pixel columns of the timeline's strip.
int timeline_columns(const Canvas& canvas, const Rect& rect);

void draw_trials(Canvas& canvas, const Rect& rect, const TrialsView& view);
/// The mark of an outcome: a disc held, a cross chattered, a turned arrow came back.
void draw_trial_mark(Canvas& canvas, Point at, float r, advise::Outcome outcome);

void draw_advice(Canvas& canvas, const Rect& rect, const AdviceView& view, bool large);
void draw_cautions(Canvas& canvas, const Rect& rect, const AdviceView& view, bool one_row);

void draw_microphone(Canvas& canvas, const Rect& rect, const MicrophoneView& view);
void draw_lesson(Canvas& canvas, const Rect& rect, const LessonView& view);

/// A row of a card that can be typed in.
struct FieldRow {
  Field field{};
  Spellings spellings;  ///< of the value, best first; empty when it was not given
  Words typed;                   ///< so far, while editing
  bool editing = false;
  std::size_t caret = 0;
  bool all_selected = false;
  bool wrong = false;
};
struct CutView {
  Few<FieldRow, 16> rows;
  Units units = Units::metric;
  Words trouble;               ///< what is wrong with what is typed
  Words tool;                  ///< which tool or cut it is, or that the sound fits another
  Few<Words, 2> derived;  ///< "Surface speed 226 m/min", "Feed per tooth 0.08 mm"
};
void draw_cut(Canvas& canvas, const Rect& rect, const CutView& view);
/// The row's place for the mouse.
Rect cut_row(const Canvas& canvas, const Rect& rect, std::size_t row, std::size_t rows);

struct RigKnob {
  FieldRow row;
  double share = 0;  ///< of the bar, 0 to 1
};
struct RigView {
  Few<RigKnob, 4> knobs;
  Units units = Units::metric;
  bool in_cut = true;
  bool hearing = false;
};
void draw_rig(Canvas& canvas, const Rect& rect, const RigView& view);
Rect rig_bar(const Canvas& canvas, const Rect& rect, std::size_t knob, std::size_t knobs);
Rect rig_value(const Canvas& canvas, const Rect& rect, std::size_t knob, std::size_t knobs);
Rect rig_switch(const Canvas& canvas, const Rect& rect);

/// The guided microphone check, over everything else.
void draw_check(Canvas& canvas, const Rect& window, const CheckView& view);

/// The card of keys over everything else, in as many pages as the window needs; pages count from 1.
void draw_keys(Canvas& canvas, const Rect& window, bool rig, int page_number);
int keys_pages(const Canvas& canvas, const Rect& window, bool rig);

/// Panel ground with a title and a note at the right; what is left inside.
Rect draw_panel(Canvas& canvas, const Rect& rect, const char* title, std::string_view note = {});
Rect panel_inside(const Canvas& canvas, const Rect& rect);

}  // namespace hushmill::dashboard
