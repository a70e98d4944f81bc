// What the person does in the past: keys, clicks on the strip, the list.
#include <algorithm>
#include <cmath>
#include <utility>

#include "dashboard/replay_desk.hpp"
#include "dashboard/replay_keys.hpp"
#include "dashboard/timeline_view.hpp"

namespace hushmill::dashboard {
namespace {

constexpr double kLookBackS = 5;
constexpr double kStepS = 1;
constexpr double kFineStepS = 0.05;
constexpr double kAroundEpisodeS = 0.5;

}  // namespace

void ReplayDesk::seek(double at_s) {
  if (replay_) replay_->seek(at_s);
  if (back_s_) back_s_ = std::clamp(at_s, film_.from_s(), film_.to_s());
}

// Over the episode at the moment shown, or the latest before it, or the first.
void ReplayDesk::loop() {
  if (!replay_ || episodes().empty()) {
    say(replay_ ? "No chatter was heard here: nothing to loop over" : "A loop needs an open recording");
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
        say("A look back is silent: the microphone goes on listening");
      }
      break;
    case ReplayAction::keys:
      keys_ = !keys_;
      break;
    case ReplayAction::leave:
      if (keys_)
        keys_ = false;
      else if (replay_ && of_recording_)
        view.greeting_wanted = true;  // there is no now to go back to: something else may be opened
      else
        back_to_now(view);
      break;
  }
  return true;
}

void ReplayDesk::open_chosen(const live::CutCard& card) {
  const auto choice = list_->chosen();
  if (!choice) {
    list_->say(list_->lines().empty() ? "Nothing was found to open." : "No sound of this session was kept, so there is nothing to replay.");
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
  } else if (key == "Tab") {
    if (list_->session() > 0) shelf_.ask_tried(list_->session(), replay_ ? state_.card : live.card);
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

}  // namespace hushmill::dashboard
