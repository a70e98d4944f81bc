#include <algorithm>
#include <cmath>

#include "dashboard/action.hpp"
#include "dashboard/card_views.hpp"
#include "dashboard/draw_greeting.hpp"
#include "dashboard/instruments.hpp"
#include "dashboard/keeping_view.hpp"
#include "dashboard/pending.hpp"
#include "dashboard/screen.hpp"

namespace hushmill::dashboard {
namespace {

constexpr std::size_t kMostUndo = 64;
constexpr double kDeeperMm = 0.1;

bool is_rig_field(Field field) {
  const auto fields = rig_fields();
  return std::find(fields.begin(), fields.end(), field) != fields.end();
}

/// The commands go out; a change of the card can be taken back later.
void push(const live::State& state, ViewState& view, std::vector<live::Command> made,
          std::vector<live::Command>& commands) {
  const bool card_changed = std::any_of(made.begin(), made.end(), [](const live::Command& command) {
    return std::holds_alternative<live::ChangeCard>(command);
  });
  if (card_changed) {
    view.undo.push_back(state.card);
    if (view.undo.size() > kMostUndo) view.undo.erase(view.undo.begin());
  }
  commands.insert(commands.end(), made.begin(), made.end());
}

void start_editing(Field field, const live::State& state, ViewState& view) {
  view.entry_trouble.clear();
  if (is_rig_field(field)) {
    if (!state.rig) return;
    view.editor.start(editable_text(field, *state.rig, view.units));
  } else {
    view.editor.start(editable_text(field, state.card, view.units));
  }
  view.editing = field;
}

void stop_editing(ViewState& view) {
  view.editing.reset();
  view.entry_trouble.clear();
}

/// Says what is wrong with what is typed so far; nothing when it is right.
void check_entry(const live::State& state, ViewState& view) {
  view.entry_trouble.clear();
  const auto note = [&](const auto& result) {
    if (const auto* bad = std::get_if<BadEntry>(&result)) view.entry_trouble = bad->text;
  };
  if (!is_rig_field(*view.editing)) {
    note(with_entry(*view.editing, view.editor.text(), state.card, view.units));
  } else if (state.rig) {
    note(with_entry(*view.editing, view.editor.text(), *state.rig, view.units));
  }
}

/// True when the entry was taken (or there was nothing to take).
bool take_entry(const live::State& state, ViewState& view, std::vector<live::Command>& commands) {
  if (!view.editing) return true;
  check_entry(state, view);
  if (!view.entry_trouble.empty()) return false;
  const Field field = *view.editing;
  if (!is_rig_field(field)) {
    const auto card = std::get<live::CutCard>(with_entry(field, view.editor.text(), state.card, view.units));
    if (value_text(field, card, view.units) != value_text(field, state.card, view.units)) {
      push(state, view, change_card(state, card), commands);
    }
  } else if (state.rig) {
    const auto controls = std::get<rig::RigControls>(with_entry(field, view.editor.text(), *state.rig, view.units));
    push(state, view, turn_rig(state, controls), commands);
  }
  stop_editing(view);
  return true;
}

void edit_next(const live::State& state, ViewState& view, std::vector<live::Command>& commands, bool back = false) {
  std::vector<Field> fields(card_fields().begin(), card_fields().end());
  if (state.rig) fields.insert(fields.end(), rig_fields().begin(), rig_fields().end());
  auto at = fields.begin();
  if (view.editing) {
    const Field field = *view.editing;
    if (!take_entry(state, view, commands)) return;
    at = std::find(fields.begin(), fields.end(), field);
    if (back) {
      at = at == fields.begin() ? fields.end() - 1 : at - 1;
    } else {
      at = at == fields.end() || at + 1 == fields.end() ? fields.begin() : at + 1;
    }
  }
  start_editing(*at, state, view);
}

void turn(const live::State& state, const rig::RigControls& controls, ViewState& view,
          std::vector<live::Command>& commands) {
  push(state, view, turn_rig(state, controls), commands);
}

Axis whole_hz(const Axis& now, const listen::Snapshot& shown) {
  const double top_hz = shown.bin_hz * static_cast<double>(std::max<std::size_t>(2, shown.spectrum_dbfs.size()) - 1);
  return {now.logarithmic ? std::max(20.0, shown.bin_hz) : 0, std::max(top_hz, 100.0), now.logarithmic};
}

/// What wheel and drag do, by keys.
void move_range(Action action, const listen::Snapshot& shown, ViewState& view) {
  const Axis now = shown_hz(view, shown), whole = whole_hz(now, shown);
  if (action == Action::read_line) {
    view.reading_hz = next_line_hz(shown, now, view.reading_hz);
  } else if (action == Action::closer || action == Action::wider) {
    // About what is read, else about the chatter, else about the middle.
    const double about_hz = view.reading_hz ? *view.reading_hz : shown.chatter ? shown.chatter->chatter_hz : -1;
    const double share = now.holds(about_hz) ? now.share(about_hz) : 0.5;
    view.hz_zoom = zoomed(now, share, action == Action::closer ? 1.25 : 0.8, whole);
  } else {
    view.hz_zoom = panned(now, action == Action::range_up ? 0.1 : -0.1, whole);
  }
}

void act(Action action, const live::State& state, ViewState& view, std::vector<live::Command>& commands) {
  switch (action) {
    case Action::knob_up:
      push(state, view, turn_knob(state, 1), commands);
      break;
    case Action::knob_down:
      push(state, view, turn_knob(state, -1), commands);
      break;
    case Action::look_room:
      view.look = Look::room;
      break;
    case Action::look_bench:
      view.look = Look::bench;
      break;
    case Action::look_teach:
      view.look = Look::teach;
      break;
    case Action::freeze:
      if (view.held) {
        view.held.reset();
      } else {
        view.held = state.snapshot;
      }
      break;
    case Action::logarithmic:
      view.logarithmic = !view.logarithmic;
      break;
    case Action::closer:
    case Action::wider:
    case Action::range_down:
    case Action::range_up:
    case Action::read_line:
      move_range(action, view.held ? *view.held : state.snapshot, view);
      break;
    case Action::whole_range:
      view.hz_zoom.reset();
      view.reading_hz.reset();
      break;
    case Action::theme:
      view.light = !view.light;
      break;
    case Action::units:
      view.units = view.units == Units::metric ? Units::inch : Units::metric;
      break;
    case Action::full_screen:
      view.full_screen = !view.full_screen;
      break;
    case Action::undo:
      if (!view.undo.empty()) {
        const live::CutCard card = view.undo.back();
        view.undo.pop_back();
        for (const live::Command& command : change_card(state, card)) commands.push_back(command);
      }
      break;
    case Action::cut_in_out:
    case Action::deeper:
    case Action::shallower:
      if (state.rig) {
        rig::RigControls controls = *state.rig;
        if (action == Action::cut_in_out) {
          controls.in_cut = !controls.in_cut;
        } else {
          const double step_mm = action == Action::deeper ? kDeeperMm : -kDeeperMm;
          controls.depth_mm =
              std::clamp(controls.depth_mm + step_mm, info(Field::rig_depth).least, info(Field::rig_depth).most);
        }
        turn(state, controls, view, commands);
      }
      break;
    case Action::hear:
      if (state.rig) {
        view.hearing = !view.hearing;
        commands.emplace_back(live::HearRig{view.hearing ? 1.0 : 0.0});
      }
      break;
    case Action::next_field:
      edit_next(state, view, commands);
      break;
    case Action::mark_pass:
      commands.emplace_back(live::MarkPass{});
      break;
    case Action::say_place:
      commands.emplace_back(next_place(state));
      break;
    case Action::take_heard:
      if (state.other_fit) {
        view.undo.push_back(state.card);
        commands.emplace_back(live::TakeHeard{});
      }
      break;
    case Action::check_microphone:
      commands.emplace_back(live::CheckMicrophone{!state.check});
      break;
    case Action::keep_minute:
      if (state.keeping) commands.emplace_back(live::KeepMinute{});
      break;
    case Action::record_session:
      if (state.keeping) commands.emplace_back(live::RecordSession{!state.keeping->recording});
      break;
    case Action::hold_minute:
      if (state.keeping) commands.emplace_back(live::HoldMinute{!state.keeping->minute});
      break;
    case Action::drop_sound:
      if (!state.keeping) break;
      if (view.drop_asked_s > 0) commands.emplace_back(live::DropSound{});
      view.drop_asked_s = view.drop_asked_s > 0 ? 0 : kAskS;
      break;
    case Action::open_kept:
    case Action::look_back:
    case Action::next_tool:
    case Action::cuts_on_file:
      break;  // the desks take these keys
    case Action::other_source:
      view.greeting_wanted = true;
      break;
    case Action::keys:
      ++view.show_keys;  // draw_screen closes it after the last page
      break;
    case Action::lessons:
    case Action::taps:
      view.elsewhere = action == Action::lessons ? Elsewhere::lessons : Elsewhere::taps;
      view.close_wanted = true;
      break;
    case Action::close:
      view.close_wanted = true;
      break;
  }
}

void take_keys(const live::State& at_frame, ViewState& view, const Input& input, std::vector<live::Command>& commands) {
  if (input.keys.empty() && input.typed.empty()) return;
  live::State state = at_frame;  // each key builds on what the one before it asked for
  const bool typing = view.editing.has_value();
  if (typing) {
    for (const char32_t character : input.typed) view.editor.type(character);
    if (!input.typed.empty()) check_entry(state, view);
  }
  for (const std::string& key : input.keys) {
    const std::size_t before = commands.size();
    // Any other key takes the question back: what it asks about may be another thing by then.
    if (key != "Delete") view.drop_asked_s = 0;
    if (view.editing) {
      if (key == "Enter") {
        take_entry(state, view, commands);
      } else if (key == "Esc") {
        stop_editing(view);
      } else if (key == "Tab" || key == "Shift+Tab") {
        edit_next(state, view, commands, key != "Tab");
      } else if (view.editor.press(key)) {
        check_entry(state, view);
      }
    } else if (!typing) {  // a letter that was typed must not act as well
      if (key == "Esc") {
        view.show_keys = 0;
        view.reading_hz.reset();
        if (state.check) commands.emplace_back(live::CheckMicrophone{false});
      }
      if (const auto action = action_for(key)) act(*action, state, view, commands);
    }
    for (std::size_t i = before; i < commands.size(); ++i) foresee(commands[i], state);
  }
}

void take_clicks(const Canvas& canvas, const Layout& layout, const live::State& state, ViewState& view,
                 const Input& input, std::vector<live::Command>& commands) {
  if (!input.mouse_down) view.dragging.reset();
  if (view.dragging && state.rig) {
    const auto fields = rig_fields();
    const auto at = static_cast<std::size_t>(std::find(fields.begin(), fields.end(), *view.dragging) - fields.begin());
    const Rect bar = rig_bar(canvas, layout.rig, at, fields.size());
    const rig::RigControls controls =
        with_rig_share(*view.dragging, static_cast<double>((input.mouse_x - bar.x) / bar.w), *state.rig);
    if (rig_share(*view.dragging, controls) != rig_share(*view.dragging, *state.rig)) {
      for (const live::Command& command : turn_rig(state, controls)) commands.push_back(command);
    }
    return;
  }
  if (!input.clicked) return;
  if (view.editing && !take_entry(state, view, commands)) return;
  if (!layout.cut.empty()) {
    const auto fields = card_fields();
    for (std::size_t i = 0; i < fields.size(); ++i) {
      if (cut_row(canvas, layout.cut, i, fields.size()).contains(input.mouse_x, input.mouse_y))
        start_editing(fields[i], state, view);
    }
  }
  if (layout.rig.empty() || !state.rig) return;
  const auto fields = rig_fields();
  if (rig_switch(canvas, layout.rig).contains(input.mouse_x, input.mouse_y))
    act(Action::cut_in_out, state, view, commands);
  for (std::size_t i = 0; i < fields.size(); ++i) {
    if (rig_value(canvas, layout.rig, i, fields.size()).contains(input.mouse_x, input.mouse_y))
      start_editing(fields[i], state, view);
    // The bar may be taken a little beside itself: it is thin.
    const Rect bar = rig_bar(canvas, layout.rig, i, fields.size()).inset(-canvas.px(4), -canvas.px(3));
    if (bar.contains(input.mouse_x, input.mouse_y)) {
      view.undo.push_back(state.card);
      view.dragging = fields[i];
    }
  }
}

void take_zoom(const Canvas& canvas, const Layout& layout, const listen::Snapshot& shown, ViewState& view,
               const Input& input) {
  if (layout.spectrum.empty()) return;
  const Rect plot = spectrum_plot(canvas, layout.spectrum), past = history_plot(canvas, layout.history);
  const bool over = plot.contains(input.mouse_x, input.mouse_y), over_past = past.contains(input.mouse_x, input.mouse_y);
  const Axis now = shown_hz(view, shown), whole = whole_hz(now, shown);
  // The spectrum's frequencies run to the right, the spectrogram's upward.
  const double share = static_cast<double>(over ? (input.mouse_x - plot.x) / plot.w : (past.bottom() - input.mouse_y) / past.h);
  if ((over || over_past) && input.wheel != 0)
    view.hz_zoom = zoomed(now, share, std::pow(1.25, static_cast<double>(input.wheel)), whole);
  if (input.clicked) view.panning = over ? Panning::sideways : over_past ? Panning::upward : Panning::none;
  if (!input.mouse_down) view.panning = Panning::none;
  if (view.panning == Panning::sideways && input.mouse_x != view.last_mouse_x)
    view.hz_zoom = panned(now, static_cast<double>((view.last_mouse_x - input.mouse_x) / plot.w), whole);
  if (view.panning == Panning::upward && input.mouse_y != view.last_mouse_y)
    view.hz_zoom = panned(now, static_cast<double>((input.mouse_y - view.last_mouse_y) / past.h), whole);
  view.last_mouse_x = input.mouse_x;
  view.last_mouse_y = input.mouse_y;
}

/// The greeting has the keyboard and the mouse to itself.
void take_greeting(const Canvas& canvas, const Layout& layout, ViewState& view, const Input& input) {
  Greeting& greeting = *view.greeting;
  for (const std::string& file : input.dropped) drop_file(greeting, file);
  for (const char32_t character : input.typed) type(greeting, character);
  for (const std::string& key : input.keys) {
    const bool on_card = greeting.field == GreetingField::card;
    if (key == "F11") {
      view.full_screen = !view.full_screen;
    } else if (key == "Ctrl+Q") {
      view.close_wanted = true;
    } else if (on_card && key == "U") {
      view.units = view.units == Units::metric ? Units::inch : Units::metric;
    } else if (on_card && key == "T") {
      view.light = !view.light;
    } else if (on_card && key == "Esc" && greeting.may_leave) {
      view.greeting.reset();
      return;
    } else {
      press(greeting, key);
    }
  }
  if (!input.clicked) return;
  const GreetingPlaces places = greeting_places(canvas, window_of(layout), greeting);
  const auto hit = [&](const Rect& rect) { return rect.contains(input.mouse_x, input.mouse_y); };
  for (std::size_t card = 0; card < places.cards.size(); ++card) {
    const auto kind = static_cast<live::SourceKind>(card);
    if (hit(places.cards[card])) choose_card(greeting, kind);
    if (card < places.rows.size()) {
      for (std::size_t i = 0; i < places.rows[card].size(); ++i)
        if (hit(places.rows[card][i])) choose_row(greeting, places.first_row[card] + i);
      for (std::size_t i = 1; i < places.fields[card].size(); ++i)
        if (hit(places.fields[card][i])) {
          greeting.card = kind;
          go_to(greeting, static_cast<GreetingField>(i));
        }
    }
    if (hit(places.buttons[card])) {
      greeting.card = kind;
      greeting.open_wanted = true;
    }
  }
}

}  // namespace

void take_input(const Canvas& canvas, const Layout& layout, const Scene& scene, ViewState& view, const Input& input,
                std::vector<live::Command>& commands) {
  if (view.greeting) {
    take_greeting(canvas, layout, view, input);
    return;
  }
  if (!input.dropped.empty()) {
    view.greeting_wanted = true;
    view.dropped_file = input.dropped.front();
  }
  take_keys(scene.state, view, input, commands);
  take_clicks(canvas, layout, scene.state, view, input, commands);
  take_zoom(canvas, layout, view.held ? *view.held : scene.state.snapshot, view, input);
}

}  // namespace hushmill::dashboard
