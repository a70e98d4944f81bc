#include "dashboard/replay_desk.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "dashboard/numbers.hpp"
#include "dashboard/replay_keys.hpp"
#include "dashboard/timeline_view.hpp"
#include "live/earlier_trials.hpp"

namespace hushmill::dashboard {
namespace {

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

void ReplayDesk::say(std::string hint) {
  hint_ = std::move(hint);
  hint_s_ = kHintS;
}

void ReplayDesk::heed(const live::State& live) {
  of_recording_ = live.source.kind == live::SourceKind::recording;
  if (live.paused) return;
  if (!film_.empty() && live.snapshot.t_s < film_.to_s()) live_episodes_.clear();
  film_.add(live);
  note_episodes(live, live_episodes_);
}

ReplayDesk::Seen ReplayDesk::put_aside() {
  back_s_.reset();
  if (replay_) replay_->play(false);
  return {std::exchange(film_, live::Film()), std::exchange(live_episodes_, {}), std::move(replay_)};
}

void ReplayDesk::recall(Seen seen, ViewState& view) {
  film_ = std::move(seen.film);
  live_episodes_ = std::move(seen.episodes);
  if (seen.replay) opened(std::move(seen.replay), view);
}

void ReplayDesk::open_file(const std::string& file, const live::CutCard& card, std::vector<live::ReplayStep> steps,
                            std::vector<advise::Trial> tried, capture::Channel channel) {
  opening_ = true;
  shelf_.open_file(file, card, std::move(steps), std::move(tried), channel);
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

bool ReplayDesk::take(const live::Command& command) {
  if (!past()) return false;
  if (replay_ && is_of_card(command)) {
    try {
      replay_->change(command);
    } catch (const std::exception& refused) {
      say(refused.what());
    }
    return true;
  }
  // Keeping and pausing are of the session that is on.
  const bool of_now =
      std::holds_alternative<live::KeepMinute>(command) || std::holds_alternative<live::RecordSession>(command) ||
      std::holds_alternative<live::HoldMinute>(command) || std::holds_alternative<live::DropSound>(command);
  if (of_now && !replay_) return false;
  say(replay_ ? "Not in a replay; Esc leaves it" : "Looking back changes nothing; Esc returns to now");
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

// What another session tried counts for what is shown: the cut that is on, or the recording.
void ReplayDesk::take_tried(const live::Shelf::Tried& tried, const live::State& live) {
  if (!list_) return;
  const std::string session = "Session " + std::to_string(tried.session);
  const auto& now = replay_ ? state_.tried : live.tried;
  if (now.empty()) taken_.clear();  // the cut was changed since, and all of it forgotten
  if (taken_.empty()) known_ = now;
  const auto again = std::find_if(taken_.begin(), taken_.end(), [&](const auto& one) { return one.session == tried.session; });
  const bool back = again != taken_.end();
  if (back) taken_.erase(again);
  if (!back && tried.trials.empty()) {
    list_->say(session + (tried.other_cut ? " tried nothing on this cut: flutes, diameter, width, depth and milling must be the same." : " has no speed that held or chattered."));
    return;
  }
  if (!back) taken_.push_back(tried);
  std::vector<advise::Trial> all;
  for (auto one = taken_.rbegin(); one != taken_.rend(); ++one) live::add_untold(one->trials, all);
  live::add_untold(known_, all);
  const live::TakeTried command(all);
  if (replay_)
    replay_->change(command);
  else
    to_live_(command);
  const std::string counts = all.empty() ? "nothing of earlier sessions counts now." : "counts now: " + live::tried_text(command.trials()) + ".";
  list_->say_done(session + (back ? " taken back; " : " taken; ") + counts + (back ? "" : tried.depth_not_noted ? " Its depth was not written down." : tried.other_cut ? " Other cuts are left out." : ""));
}

void ReplayDesk::pass(double dt_s, const live::State& live, ViewState& view) {
  live::Shelf::Answer answer;
  while (shelf_.take(answer)) {
    if (auto* sessions = std::get_if<live::Shelf::Sessions>(&answer)) {
      if (list_ && sessions->words == list_->words()) list_->take(std::move(*sessions));
    } else if (auto* ready = std::get_if<live::Shelf::Opened>(&answer)) {
      opening_ = false;
      opened(std::move(ready->replay), view);
    } else if (const auto* tried = std::get_if<live::Shelf::Tried>(&answer)) {
      take_tried(*tried, live);
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
  past.order = replay_ ? "REPLAY: this is not now." : "LOOKING BACK: this is not now.";
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
      past.words += std::string(kDot) + (view.speed > live::kLoudestSpeed ? "aloud up to 2\xC3\x97" : "aloud");
    if (!view.all_heard && view.length_s > 0)
      past.words += std::string(kDot) + "listened to " + in_percent(view.heard_s / view.length_s);
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
      past.mark = now == listen::Verdict::chatter ? "Looking back \xC2\xB7 now it chatters"
                                                  : "Looking back \xC2\xB7 now it is building";
      past.mark_tone = tone_of(now);
      if (now == listen::Verdict::chatter) past.order = "NOW IT CHATTERS: Esc returns to now.";
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
