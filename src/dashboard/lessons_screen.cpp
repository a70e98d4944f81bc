#include "dashboard/lessons_screen.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "dashboard/instruments.hpp"
#include "dashboard/lessons_keys.hpp"
#include "dashboard/numbers.hpp"
#include "dashboard/text_fit.hpp"

namespace hushmill::dashboard {
namespace {

constexpr float kLeastSize = 12;  // units, of any text
constexpr std::array kDeedKeys{"Space", "Enter", "Backspace"};

struct Writer {
  Canvas& canvas;
  const LessonsLayout& layout;
  const live::LessonState& state;
  const LessonsView& view;
  float large = view.large ? 1.35F : 1.0F;

  Rect panel(const Rect& rect, const char* title, std::string_view note = {});
  void tabs();
  void engine();
  void controls();
  void words();
  void tasks();
  void status();
  void keys();
};

/// As everywhere, but with headings that grow, too.
Rect Writer::panel(const Rect& rect, const char* title, std::string_view note) {
  if (!view.large) return draw_panel(canvas, rect, title, note);
  const Theme& theme = canvas.theme();
  canvas.enter(title);
  canvas.fill(rect, theme.panel, canvas.px(6));
  const Rect head = rect.inset(canvas.px(10), canvas.px(6)).top(canvas.px(24));
  const Rect used = canvas.text(head, title, {.size = 20, .weight = Weight::bold, .colour = theme.ink});
  if (!note.empty())
    canvas.text(head.after(used.w + canvas.px(14)), note, {.size = 17, .colour = theme.dim, .x = AlignX::right});
  return rect.inset(canvas.px(10), canvas.px(8)).below(canvas.px(26));
}

void Writer::tabs() {
  const Theme& theme = canvas.theme();
  canvas.enter("Lessons");
  for (std::size_t i = 0; i < lessons::kNames.size(); ++i) {
    const Rect tab = lesson_tab(layout, i);
    const bool here = state.scene.name == lessons::kNames[i] && !state.scene.words.empty();
    canvas.fill(tab, here ? theme.panel : theme.ground, canvas.px(6));
    canvas.outline(tab, here ? theme.ink : theme.line, canvas.px(here ? 2 : 1), canvas.px(6));
    canvas.text(
        tab.inset(canvas.px(8), 0), std::to_string(i + 1) + "  " + std::string(lessons::title(lessons::kNames[i])),
        {.size = 17 * large, .weight = here ? Weight::bold : Weight::regular, .colour = here ? theme.ink : theme.dim});
  }
  std::string notes;
  const auto note = [&notes](const std::string& one) { notes += (notes.empty() ? "" : kDot) + one; };
  if (state.recording) note("recording " + in_time(state.recorded_s));
  if (state.paused) note("stopped");
  const bool slowed = state.slow > 1 && !state.microphone;
  if (slowed) note(trimmed(state.slow, 0) + " times slower: 3 s take " + trimmed(3 * state.slow, 0) + " s");
  if (state.microphone) note("microphone");
  if (state.microphone) {  // nothing is played
  } else if (state.volume <= 0)
    note("sound off");
  else if (state.slow > live::kSlowestHeard)
    note("too slow to hear");
  else if (state.spoken_over)
    note("sound low");
  const Rect last = lesson_tab(layout, lessons::kNames.size() - 1);
  canvas.text(
      {last.right() + canvas.px(8), layout.tabs.y, layout.tabs.right() - last.right() - canvas.px(8), layout.tabs.h},
      notes, {.size = 15 * large, .weight = Weight::bold, .colour = theme.ink, .x = AlignX::right, .lines = 2});
}

void Writer::engine() {
  const Theme& theme = canvas.theme();
  canvas.enter("Engine");
  Tone tone = Tone::neutral;
  Shape shape = Shape::ring;
  std::string words = "Nothing is cut in this lesson: forks, and what is heard of them.";
  if (state.making) {
    words = "The lesson is being set up: its chart is worked out.";
  } else if (state.scene.heard) {
    const auto& heard = *state.scene.heard;
    switch (heard.verdict) {
      case listen::Verdict::no_cut:
        words = "The engine hears no cut";
        if (state.slow > 1) words += ": time is slowed " + trimmed(state.slow, 0) + " times";
        break;
      case listen::Verdict::steady:
        words = "The engine hears a steady cut", tone = Tone::normal, shape = Shape::wave;
        // Between corners that chatter nothing is green, as on the dashboard.
        if (heard.chatter_s > 0) words = "The engine: quiet now, at a speed that chattered", tone = Tone::abnormal, shape = Shape::half;
        break;
      case listen::Verdict::forced_vibration:
        words = "The engine: in step with the teeth, but loud", tone = Tone::abnormal, shape = Shape::square;
        break;
      case listen::Verdict::building:
        words = "The engine: chatter may be building", tone = Tone::abnormal, shape = Shape::triangle;
        break;
      case listen::Verdict::chatter:
        words = "The engine hears chatter", tone = Tone::danger, shape = Shape::diamond;
        break;
    }
    if (heard.chatter_hz) words += ", " + in_hz(*heard.chatter_hz);
    if (heard.motion_hz) words += " (the tip swings at " + in_hz(*heard.motion_hz) + ")";
    if (heard.tooth_passing_hz > 0) words += kDot + std::string("teeth ") + in_hz(heard.tooth_passing_hz);
    if (heard.episodes > 0)
      words += kDot + std::to_string(heard.episodes) + (heard.episodes == 1 ? " chatter so far" : " chatters so far");
  }
  canvas.fill(layout.engine, theme.band(tone), canvas.px(6));
  canvas.outline(layout.engine, theme.edge(tone), canvas.px(1.5F), canvas.px(6));
  const Rect inside = layout.engine.inset(canvas.px(12), canvas.px(4));
  draw_shape(canvas, inside.left(inside.h), shape, tone);
  canvas.text(inside.after(inside.h + canvas.px(12)), words,
              {.size = 20 * large, .weight = Weight::bold, .colour = theme.ink});
}

void Writer::controls() {
  const Theme& theme = canvas.theme();
  const auto& all = state.scene.controls;
  const bool nothing = all.empty() && state.scene.deeds.empty();
  const Rect inside = panel(layout.controls, "Turn and do", nothing ? "" : "arrows, or the mouse");
  if (nothing && state.microphone)
    canvas.text(inside, "The microphone listens: nothing is simulated. L goes back to the simulated forks.",
                {.size = 15 * large, .colour = theme.ink, .y = AlignY::top, .lines = 3});
  for (std::size_t i = 0; i < all.size(); ++i) {
    const lessons::Control& control = all[i];
    const Rect bar = lesson_bar(layout, i, all.size());
    const bool chosen = i == view.control;
    const Rect label{bar.x, bar.y - canvas.px(24 * large), bar.w, canvas.px(22 * large)};
    std::string value =
        grouped(control.value, control.decimals) + (control.unit.empty() ? "" : std::string(kThinGap) + control.unit);
    if (!control.choices.empty())
      value = control.choices[std::min(control.choices.size() - 1, static_cast<std::size_t>(std::lround(control.value)))];
    const Rect used = canvas.text(
        label, value, {.size = 17 * large, .weight = Weight::bold, .colour = theme.ink, .x = AlignX::right});
    canvas.text(label.left(label.w - used.w - canvas.px(10)), control.name,
                {.size = 15 * large,
                 .weight = chosen ? Weight::bold : Weight::regular,
                 .colour = chosen ? theme.ink : theme.dim});
    canvas.fill(bar, theme.well, canvas.px(3));
    const float share = static_cast<float>((control.value - control.from) / std::max(1e-9, control.to - control.from));
    canvas.fill(bar.left(bar.w * std::clamp(share, 0.0F, 1.0F)), theme.mark, canvas.px(3));
    canvas.outline(bar, chosen ? theme.ink : theme.line, canvas.px(chosen ? 2 : 1), canvas.px(3));
    const float x = bar.x + bar.w * std::clamp(share, 0.0F, 1.0F);
    canvas.line({x, bar.y - canvas.px(2)}, {x, bar.bottom() + canvas.px(2)}, theme.ink, canvas.px(3));
  }
  for (std::size_t i = 0; i < std::min(state.scene.deeds.size(), kDeedKeys.size()); ++i) {
    const Rect button = lesson_button(layout, i, all.size());
    canvas.outline(button, theme.mark, canvas.px(1), canvas.px(4));
    const Rect label = button.inset(canvas.px(10), 0);
    const Rect used = canvas.text(label, kDeedKeys[i], {.size = 13 * large, .colour = theme.dim, .x = AlignX::right});
    canvas.text(label.left(label.w - used.w - canvas.px(8)), state.scene.deeds[i],
                {.size = 15 * large, .colour = theme.ink});
  }
}

/// One size for all sentences: the largest at which all of them find room.
void Writer::words() {
  const Theme& theme = canvas.theme();
  Rect inside = panel(layout.words, "What is going on");
  const float gap = canvas.px(7);
  const auto lines_of = [&](const std::string& one, float size) {
    const Measure measure = [&](std::string_view text, float) { return canvas.width_px(text, size, Weight::regular); };
    return static_cast<int>(line_count(wrap(one, inside.w, canvas.px(size), measure)));
  };
  float chosen = kLeastSize;
  for (const float size : {20.0F, 17.0F, 15.0F, 13.0F}) {
    if (size > 15 * large) continue;
    float height = 0;
    for (const std::string& one : state.scene.words)
      height += canvas.px(1.3F * size) * static_cast<float>(lines_of(one, size)) + gap;
    if (height > inside.h) continue;
    chosen = size;
    break;
  }
  for (const std::string& one : state.scene.words) {
    const int lines = lines_of(one, chosen);
    if (canvas.px(1.3F * chosen) * static_cast<float>(lines) > inside.h) return;  // whole sentences or none
    const Rect used = canvas.text(inside, one, {.size = chosen, .colour = theme.ink, .y = AlignY::top, .lines = lines});
    inside = inside.below(used.h + gap);
  }
}

void Writer::tasks() {
  const Theme& theme = canvas.theme();
  std::size_t solved = 0;
  for (const auto& task : state.scene.tasks) solved += task.solved ? 1 : 0;
  const Rect inside = panel(layout.tasks, "Find out by trying",
                            std::to_string(solved) + " of " + std::to_string(state.scene.tasks.size()) + " answered");
  if (state.scene.tasks.empty()) return;
  const float width = inside.w / static_cast<float>(state.scene.tasks.size()), gap = canvas.px(6);
  const float text_width = width - canvas.px(14 + 22);
  const auto lines_of = [&](const std::string& one, float size, Weight weight) {
    const Measure measure = [&](std::string_view text, float) { return canvas.width_px(text, size, weight); };
    return static_cast<int>(line_count(wrap(one, text_width, canvas.px(size), measure)));
  };
  // One size for all of them: the largest at which every question and answer finds room.
  float chosen = kLeastSize;
  for (const float size : {17.0F, 15.0F, 13.0F}) {
    if (size > 13 * large) continue;
    bool fits = true;
    for (const auto& task : state.scene.tasks) {
      const int lines = lines_of(task.question, size, Weight::bold) + lines_of(task.found, size, Weight::regular);
      fits = fits && canvas.px(1.3F * size) * static_cast<float>(lines) + gap <= inside.h;
    }
    if (!fits) continue;
    chosen = size;
    break;
  }
  for (std::size_t i = 0; i < state.scene.tasks.size(); ++i) {
    const auto& task = state.scene.tasks[i];
    Rect column{inside.x + static_cast<float>(i) * width, inside.y, width - canvas.px(14), inside.h};
    const Point middle{column.x + canvas.px(8), column.y + canvas.px(0.65F * chosen)};
    if (task.solved)
      canvas.disc(middle, canvas.px(7), theme.fill(Tone::normal));
    else
      canvas.ring(middle, canvas.px(6), theme.dim, canvas.px(2));
    canvas.mark(task.solved ? "answered" : "open question", middle.x, middle.y);
    column = column.after(canvas.px(22));
    const Rect used = canvas.text(column, task.question,
                                  {.size = chosen,
                                   .weight = Weight::bold,
                                   .colour = theme.ink,
                                   .y = AlignY::top,
                                   .lines = lines_of(task.question, chosen, Weight::bold)});
    column = column.below(used.h + gap);
    canvas.text(column, task.found,
                {.size = chosen,
                 .colour = task.solved ? theme.text(Tone::normal) : theme.dim,
                 .y = AlignY::top,
                 .lines = lines_of(task.found, chosen, Weight::regular)});
  }
}

void Writer::status() {
  const Theme& theme = canvas.theme();
  canvas.enter("Status");
  const bool wrong = !state.trouble.empty();
  std::string own;
  if (state.scene.name == lessons::Name::forks)
    own = state.microphone ? "L simulation" + std::string(kDot) : "L microphone" + std::string(kDot);
  const std::string keys = own + "P stop" + kDot + (state.microphone ? "" : "S slower" + std::string(kDot)) +
                           "R again" + kDot + "V speak" + kDot + "G large" + kDot +
                           (state.microphone ? "" : "E record" + std::string(kDot)) + "F1 keys";
  const Rect used = canvas.text(layout.status, keys, {.size = 13 * large, .colour = theme.dim, .x = AlignX::right});
  canvas.text(layout.status.left(layout.status.w - used.w - canvas.px(16)), wrong ? state.trouble : state.news,
              {.size = 13 * large, .colour = wrong ? theme.text(Tone::abnormal) : theme.ink});
}

void Writer::keys() {
  const Theme& theme = canvas.theme();
  const auto lines = lesson_key_lines();
  canvas.enter("Keys");
  const Rect window{0, 0, layout.tabs.right() + layout.tabs.x, layout.status.bottom() + layout.tabs.x};
  canvas.fill(window, theme.ground, 0, 0.72);
  const float width = std::min(canvas.px(view.large ? 780 : 620), window.w - canvas.px(16));
  const float column = canvas.px(104 * large), size = 13 * large;
  const float height =
      std::min(canvas.px(48) + static_cast<float>(lines.size()) * canvas.px(25), window.h - canvas.px(16));
  const Rect card{window.middle_x() - width / 2, window.middle_y() - height / 2, width, height};
  const Rect inside = panel(card, "Keys of the lessons", "F1 closes this card");
  canvas.outline(card, theme.mark, canvas.px(1), canvas.px(6));
  const float row = std::min(canvas.px(25), inside.h / static_cast<float>(lines.size()));
  float y = inside.y;
  for (const LessonKeyLine& line : lines) {
    canvas.text({inside.x, y, column, row}, line.key, {.size = size, .weight = Weight::bold, .colour = theme.ink});
    canvas.text({inside.x + column + canvas.px(8), y, inside.w - column - canvas.px(8), row}, line.words,
                {.size = size, .colour = theme.ink});
    y += row;
  }
}

}  // namespace

void draw_lessons(Canvas& canvas, const LessonsLayout& layout, const live::LessonState& state,
                  const LessonsView& view) {
  Writer writer{canvas, layout, state, view};
  writer.tabs();
  writer.engine();
  const float large = writer.large;
  canvas.enter("Picture");
  canvas.fill(layout.picture, canvas.theme().panel, canvas.px(6));
  const Rect inside = layout.picture.inset(canvas.px(12), canvas.px(8));
  if (!state.scene.words.empty()) {
    std::visit(
        [&](const auto& picture) {
          using P = std::decay_t<decltype(picture)>;
          if constexpr (std::is_same_v<P, lessons::ForksPicture>) draw_forks(canvas, inside, picture, large);
          if constexpr (std::is_same_v<P, lessons::WallPicture>) draw_wavy_wall(canvas, inside, picture, large);
          if constexpr (std::is_same_v<P, lessons::LobesPicture>) draw_lobes(canvas, inside, picture, large);
          if constexpr (std::is_same_v<P, lessons::KnobPicture>) draw_knob(canvas, inside, picture, large);
          if constexpr (std::is_same_v<P, lessons::CornerPicture>) draw_corner(canvas, inside, picture, large);
        },
        state.scene.picture);
  }
  writer.controls();
  writer.words();
  writer.tasks();
  if (state.scene.advises) draw_cautions(canvas, layout.cautions, {}, view.large);
  writer.status();
  if (view.show_keys) writer.keys();
}

}  // namespace hushmill::dashboard
