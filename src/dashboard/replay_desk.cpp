#include "dashboard/replay_desk.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "dashboard/numbers.hpp"
#include "dashboard/replay_keys.hpp"
#include "dashboard/timeline_view.hpp"

namespace hushmill::dashboard {
namespace {

constexpr double kLookBackS = 5;
constexpr double kStepS = 1;
constexpr double kFineStepS = 0.05;
constexpr double kAroundEpisodeS = 0.5;
constexpr double kHintS = 4;
constexpr std::size_t kMomentsAFrame = 400;  // so that a long recording does not make a frame wait
constexpr double kJumpS = 0.5;               // further than this the spectra are gathered anew

std::string times(double speed) { return trimmed(speed, 1) + "\xC3\x97"; }

bool is_of_card(const live::Command& command) {
  return std::holds_alternative<live::ChangeCard>(command) || std::holds_alternative<live::MarkPass>(command) ||
         std::holds_alternative<live::TagPlace>(command) || std::holds_alternative<live::TakeHeard>(command);
}

}  // namespace

ReplayDesk::ReplayDesk(const std::filesystem::path& folder, Send to_live)
    : to_live_(std::move(to_live)), shelf_(folder) {}

void ReplayDesk::note_episodes(const live::State& state, std::vector<listen::Episode>& episodes) const {
  for (const listen::Episode& episode : state.episodes) {
    const auto at = std::lower_bound(episodes.begin(), episodes.end(), episode.start_s,
                                     [](const listen::Episode& e, double start_s) { return e.start_s < start_s; });
    if (at != episodes.end() && std::abs(at->start_s - episode.start_s) < 1e-9)
      *at = episode;
    else
      episodes.insert(at, episode);
  }
}

void ReplayDesk::heed(const live::State& live) {
  if (live.paused) return;
  if (!film_.empty() && live.snapshot.t_s < film_.to_s()) live_episodes_.clear();
  film_.add(live);
  note_episodes(live, live_episodes_);
}

void ReplayDesk::open_file(const std::string& file, const live::CutCard& card, std::vector<live::ReplayStep> steps) {
  opening_ = true;
  shelf_.open_file(file, card, std::move(steps));
}

void ReplayDesk::open_list() {
  list_.emplace();
  keys_ = false;
  shelf_.ask_sessions({});
}

void ReplayDesk::look_back(double at_s, const live::State& live) {
  if (film_.empty() || replay_) return;
  back_s_ = std::clamp(at_s, film_.from_s(), std::max(film_.from_s(), std::min(film_.to_s(), live.snapshot.t_s)));
  playing_ = false;
  speed_ = 1;
}

void ReplayDesk::back_to_now(ViewState& view) {
  back_s_.reset();
  if (replay_) {
    shelf_.put_away(std::move(replay_));
    to_live_(live::PauseListening{false});
    view.undo.clear();  // those were the recording's
  }
  keys_ = false;
  shown_s_ = -1;
  view.held.reset();
}

void ReplayDesk::opened(std::unique_ptr<live::Replay> replay, ViewState& view) {
  if (replay_) shelf_.put_away(std::move(replay_));
  back_s_.reset();
  list_.reset();
  replay_ = std::move(replay);
  replay_view_ = {};
  replay_episodes_.clear();
  whole_ = Session();
  taken_s_ = -1;
  hearing_ = 0;
  shown_s_ = -1;
  view.undo.clear();
  view.held.reset();
  view.editing.reset();
  view.entry_trouble.clear();
  to_live_(live::PauseListening{true});
  replay_->play(true);
}

void ReplayDesk::seek(double at_s) {
  if (replay_) replay_->seek(at_s);
  if (back_s_) back_s_ = std::clamp(at_s, film_.from_s(), film_.to_s());
}

// Over the episode at the moment shown, or the latest before it, or the first.
void ReplayDesk::loop() {
  if (!replay_ || episodes().empty()) {
    hint_ = replay_ ? "No chatter was heard here: nothing to loop over" : "A loop needs an open recording";
    hint_s_ = kHintS;
    return;
  }
  if (replay_view_.loop_s) {
    replay_->set_loop(std::nullopt);
    return;
  }
  const listen::Episode* over = &episodes().front();
  for (const listen::Episode& episode : episodes())
    if (episode.start_s <= replay_view_.at_s + kAroundEpisodeS) over = &episode;
  const double end_s = std::max(over->end_s, over->alert_s);
  replay_->set_loop(std::pair{std::max(0.0, over->start_s - kAroundEpisodeS), end_s + kAroundEpisodeS});
  replay_->play(true);
}

void ReplayDesk::step_speed(int by) {
  const auto speeds = live::replay_speeds();
  const double now = replay_ ? replay_view_.speed : speed_;
  std::size_t at = 0;
  while (at + 1 < speeds.size() && speeds[at] < now) ++at;
  if (by > 0 && at + 1 < speeds.size()) ++at;
  if (by < 0 && at > 0) --at;
  speed_ = speeds[at];
  if (replay_) {
    replay_view_.speed = speeds[at];  // two keys in one frame are two steps
    replay_->set_speed(speeds[at]);
  }
}

void ReplayDesk::to_episode(int by) {
  const double at_s = replay_ ? replay_view_.at_s : back_s_.value_or(0);
  const listen::Episode* found = nullptr;
  for (const listen::Episode& episode : episodes()) {
    const double there_s = episode.alert_s;
    if (by > 0 && !found && there_s > at_s + 0.1) found = &episode;
    if (by < 0 && there_s < at_s - 0.5) found = &episode;
  }
  if (found) seek(found->alert_s);
}

bool ReplayDesk::past_key(const std::string& key, ViewState& view) {
  const auto action = replay_action_for(key);
  if (!action) return false;
  const double at_s = replay_ ? replay_view_.at_s : back_s_.value_or(0);
  switch (*action) {
    case ReplayAction::play:
      if (replay_) {
        replay_view_.playing = !replay_view_.playing;
        replay_->play(replay_view_.playing);
      } else {
        playing_ = !playing_;
      }
      break;
    case ReplayAction::back:
      seek(at_s - kStepS);
      break;
    case ReplayAction::forward:
      seek(at_s + kStepS);
      break;
    case ReplayAction::fine_back:
      seek(at_s - kFineStepS);
      break;
    case ReplayAction::fine_forward:
      seek(at_s + kFineStepS);
      break;
    case ReplayAction::beginning:
      seek(replay_ ? 0 : film_.from_s());
      break;
    case ReplayAction::end:
      if (replay_)
        seek(replay_view_.all_heard ? replay_view_.length_s : replay_view_.heard_s);
      else
        back_to_now(view);
      break;
    case ReplayAction::episode_before:
      to_episode(-1);
      break;
    case ReplayAction::episode_after:
      to_episode(1);
      break;
    case ReplayAction::slower:
      step_speed(-1);
      break;
    case ReplayAction::faster:
      step_speed(1);
      break;
    case ReplayAction::loop:
      loop();
      break;
    case ReplayAction::aloud:
      if (replay_) {
        replay_->set_aloud(!replay_view_.aloud);
      } else {
        hint_ = "A look back is silent: the microphone goes on listening";
        hint_s_ = kHintS;
      }
      break;
    case ReplayAction::keys:
      keys_ = !keys_;
      break;
    case ReplayAction::leave:
      if (keys_)
        keys_ = false;
      else
        back_to_now(view);
      break;
  }
  return true;
}

void ReplayDesk::open_chosen(const live::CutCard& card) {
  const auto choice = list_->chosen();
  if (!choice) {
    list_->say("No sound of this session was kept, so there is nothing to replay.");
    return;
  }
  opening_ = true;
  if (choice->session == 0)
    shelf_.open_file(choice->file, card);
  else
    shelf_.open_session(choice->session, choice->sound);
}

bool ReplayDesk::list_key(const std::string& key, const live::State& live) {
  if (key == "Esc") {
    list_.reset();
  } else if (key == "Enter") {
    open_chosen(live.card);
  } else if (list_->press(key)) {
    shelf_.ask_sessions(list_->words());
  }
  return key != "Ctrl+Q" && key != "F11";
}

void ReplayDesk::take_input(const Canvas& canvas, const Layout& layout, const live::State& live,
                            const Session& live_session, ViewState& view, Input& input) {
  if (view.greeting) return;  // it has the keys
  for (const std::string& file : input.dropped) open_file(file, live.card);
  input.dropped.clear();
  if (view.editing) return;  // a number is being typed
  if (list_) {
    if (list_->type(input.typed)) shelf_.ask_sessions(list_->words());
    input.typed.clear();
    // What was typed came as keys, too; only those with names of their own count here.
    const auto keys = std::exchange(input.keys, {});
    for (const std::string& key : keys) {
      const bool letter = key.size() == 1;
      if (list_ && !letter && key != "Space") {
        if (!list_key(key, live)) input.keys.push_back(key);
      }
    }
    if (input.clicked && list_) {
      const auto line = sessions_line_at(canvas, *list_, sessions_window(layout), input.mouse_x, input.mouse_y);
      if (line && *line == list_->selected())
        open_chosen(live.card);
      else if (line)
        list_->select(*line);
    }
    input.clicked = false;
    return;
  }
  if (past()) {
    const auto keys = std::exchange(input.keys, {});
    for (const std::string& key : keys)
      if (!past() || !past_key(key, view)) input.keys.push_back(key);
  }
  const auto keys = std::exchange(input.keys, {});
  for (const std::string& key : keys) {
    if (key == kListKey) {
      open_list();
      input.typed.clear();
      break;
    }
    if (key == kLookBackKey && !past()) {
      look_back(live.snapshot.t_s - kLookBackS, live);
    } else {
      input.keys.push_back(key);
    }
  }
  if (!layout.timeline.empty() && !list_) {
    const Rect strip = timeline_strip(canvas, layout.timeline);
    if (strip.contains(input.mouse_x, input.mouse_y) && (input.clicked || (input.mouse_down && past()))) {
      const double share = static_cast<double>((input.mouse_x - strip.x) / strip.w);
      const Session& shown = replay_ ? whole_ : live_session;
      const auto [from_s, to_s] = timeline_span(shown, view.past);
      const double at_s = from_s + share * (to_s - from_s);
      if (past())
        seek(at_s);
      else
        look_back(at_s, live);
      input.clicked = false;
    }
  }
}

bool ReplayDesk::take(const live::Command& command) {
  if (!past()) return false;
  if (replay_ && is_of_card(command)) {
    try {
      replay_->change(command);
    } catch (const std::exception& refused) {
      hint_ = refused.what();
      hint_s_ = kHintS;
    }
    return true;
  }
  // Keeping and pausing are of the session that is on.
  const bool of_now =
      std::holds_alternative<live::KeepMinute>(command) || std::holds_alternative<live::RecordSession>(command) ||
      std::holds_alternative<live::HoldMinute>(command) || std::holds_alternative<live::DropSound>(command);
  if (of_now && !replay_) return false;
  hint_ = replay_ ? "Not in a replay; Esc leaves it" : "Looking back changes nothing; Esc returns to now";
  hint_s_ = kHintS;
  return true;
}

void ReplayDesk::rebuild(double at_s) {
  session_ = Session();
  history_ = History();
  const double spectra_from_s = at_s - History::kSpanS;
  const auto add = [&](const live::State& state) {
    session_.add(state);
    if (state.snapshot.t_s >= spectra_from_s) history_.add(state.snapshot);
  };
  if (replay_) {
    replay_->between(-1, at_s, add);
  } else {
    live::State state;
    for (std::size_t i = 0; i < film_.size() && film_.time_of(i) <= at_s; ++i) {
      film_.show(i, state);
      add(state);
    }
  }
  history_.make_all_dirty();
}

// Brings what is shown to the moment.
void ReplayDesk::follow() {
  const double at_s = state_.snapshot.t_s;
  if (at_s == shown_s_) return;
  if (shown_s_ < 0 || at_s < shown_s_ || at_s > shown_s_ + kJumpS) {
    rebuild(at_s);
  } else {
    const auto add = [&](const live::State& state) {
      if (state.snapshot.t_s <= shown_s_) return;
      session_.add(state);
      history_.add(state.snapshot);
    };
    if (replay_) {
      replay_->between(shown_s_, at_s, add);
    } else {
      live::State state;
      for (std::size_t i = film_.index_at(shown_s_); i < film_.size() && film_.time_of(i) <= at_s; ++i) {
        film_.show(i, state);
        add(state);
      }
    }
  }
  shown_s_ = at_s;
}

void ReplayDesk::pass(double dt_s, const live::State& live, ViewState& view) {
  live::Shelf::Answer answer;
  while (shelf_.take(answer)) {
    if (auto* sessions = std::get_if<live::Shelf::Sessions>(&answer)) {
      if (list_ && sessions->words == list_->words()) list_->take(std::move(*sessions));
    } else if (auto* ready = std::get_if<live::Shelf::Opened>(&answer)) {
      opening_ = false;
      opened(std::move(ready->replay), view);
    } else if (const auto* trouble = std::get_if<live::Shelf::Trouble>(&answer)) {
      opening_ = false;
      if (!list_) list_.emplace();
      list_->say(trouble->text);
    }
  }
  hint_s_ = std::max(0.0, hint_s_ - dt_s);
  if (back_s_) {
    if (playing_) *back_s_ += dt_s * speed_;
    if (*back_s_ >= film_.to_s() && playing_) {
      back_to_now(view);
    } else {
      film_.show(film_.index_at(*back_s_), state_);
      follow();
    }
  }
  if (replay_) {
    if (!replay_->look(state_, replay_view_)) {
      // Nothing heard yet: the card that is about to be heard with, and silence.
      state_.source.kind = live::SourceKind::recording;
    }
    if (replay_view_.hearing != hearing_) {
      hearing_ = replay_view_.hearing;
      whole_ = Session();
      replay_episodes_.clear();
      taken_s_ = -1;
      shown_s_ = -1;
    }
    taken_s_ = replay_->moments(taken_s_, kMomentsAFrame, [&](const live::State& state) {
      whole_.add(state);
      note_episodes(state, replay_episodes_);
    });
    follow();
  }
  view.past.reset();
  if (past()) view.past = view_of(live);
}

PastView ReplayDesk::view_of(const live::State& live) const {
  PastView past;
  past.recording = replay_ != nullptr;
  if (replay_) {
    const auto& view = replay_view_;
    past.playing = view.playing;
    past.at_s = view.at_s;
    past.length_s = std::max(view.length_s, view.heard_s);
    past.heard_s = view.heard_s;
    past.loop_s = view.loop_s;
    past.words = trimmed(view.at_s, 1) + " of " + trimmed(past.length_s, 1) + kThinGap + "s" + kDot + times(view.speed);
    if (view.loop_s) past.words += std::string(kDot) + "loop";
    if (view.aloud)
      past.words += std::string(kDot) + (view.speed > live::kLoudestSpeed ? "heard up to 2\xC3\x97" : "aloud");
    if (!view.all_heard && view.length_s > 0)
      past.words += std::string(kDot) + "heard " + in_percent(view.heard_s / view.length_s);
    past.mark = "Replay of " + view.title + kDot + "listening rests";
    if (!view.note.empty()) past.words += std::string(kDot) + "mid-session";
    if (!view.trouble.empty()) {
      past.mark = view.trouble;
      past.mark_tone = Tone::abnormal;
    }
  } else {
    past.playing = playing_;
    past.at_s = *back_s_;
    past.length_s = film_.to_s();
    past.heard_s = film_.to_s();
    past.words = in_time(std::max(0.0, film_.to_s() - *back_s_)) + " ago" + kDot + times(speed_);
    past.mark = "Looking back" + std::string(kDot) + "listening goes on";
    // What goes on now must not be missed while the past is looked at.
    const auto now = live.snapshot.verdict;
    if (now == listen::Verdict::chatter || now == listen::Verdict::building) {
      past.mark = now == listen::Verdict::chatter ? "Looking back \xC2\xB7 NOW IT CHATTERS"
                                                  : "Looking back \xC2\xB7 now it is building";
      past.mark_tone = tone_of(now);
    }
  }
  if (hint_s_ > 0) {
    past.mark = hint_;
    past.mark_tone = Tone::abnormal;
  }
  return past;
}

void ReplayDesk::draw(Canvas& canvas, const Layout& layout, const Rect& window) {
  if (past()) {
    canvas.enter("Past");
    canvas.outline(layout.band.inset(canvas.px(1)), canvas.theme().ink, canvas.px(2), canvas.px(6));
    canvas.mark(replay_ ? "replay" : "look back", layout.band.x, layout.band.y);
  }
  if (list_) draw_sessions(canvas, window, *list_, opening_, past());
  if (keys_ && past()) draw_replay_keys(canvas, window, replay_ != nullptr);
}

}  // namespace hushmill::dashboard
