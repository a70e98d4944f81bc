#include "live/replay.hpp"

#include <algorithm>
#include <array>
#include <chrono>
#include <cmath>
#include <mutex>
#include <stop_token>
#include <thread>

#include "capture/loudspeaker.hpp"
#include "live/card_question.hpp"
#include "live/heard_card.hpp"
#include "live/listening.hpp"
#include "live/replay_ear.hpp"
#include "live/replay_sound.hpp"

namespace hushmill::live {
namespace {

using Clock = std::chrono::steady_clock;

constexpr double kFramesPerS = 20;
constexpr double kFrameS = 1 / kFramesPerS;
constexpr std::chrono::milliseconds kListenAtATime{8};  // then the place and the loudspeaker have their turn
constexpr std::chrono::milliseconds kReplayNap{4};
constexpr std::chrono::seconds kAdviceMost{5};       // no answer is waited for longer
constexpr std::chrono::seconds kLastAdviceMost{60};  // when all is heard, nobody waits for the hearing
constexpr std::array kSpeeds{0.5, 1.0, 2.0, 4.0, 8.0};

// One hearing from the first sample on. [replay thread]
struct Hearing {
  Hearing(const ReplaySubject& subject_in, Clock::time_point now) : subject(subject_in) {
    auto opened = std::make_unique<ReplaySound>(subject.files, subject.channel);
    sound = opened.get();
    LiveSettings settings{
        .card = subject.card, .kind = SourceKind::recording, .real_time = false, .rules = subject.rules, .tried = subject.tried};
    listening = std::make_unique<Listening>(settings, std::move(opened), now);
  }

  std::uint64_t sample_of(double t_s) const {
    return static_cast<std::uint64_t>(std::llround(std::max(0.0, t_s) * sound->sample_rate_hz()));
  }

  // One frame further; false while an answer of the adviser is waited for.
  bool step(Clock::time_point now, State& state) {
    if (waiting_since) {
      if (listening->await_advice() && now - *waiting_since < (over ? kLastAdviceMost : kAdviceMost)) return false;
      waiting_since.reset();
    } else {
      while (next_step < subject.steps.size() && sample_of(subject.steps[next_step].t_s) <= sound->at())
        listening->apply(subject.steps[next_step++].command);
      std::uint64_t until = sample_of(static_cast<double>(frames + 1) * kFrameS);
      const bool whole = next_step >= subject.steps.size() || sample_of(subject.steps[next_step].t_s) >= until;
      if (!whole) until = sample_of(subject.steps[next_step].t_s);
      sound->halt_at(until);
      while (listening->step(now) && sound->at() < until) {
      }
      if (sound->at() < until) {  // the end of the sound: the listener notices in the next step
        sound->halt_at(~std::uint64_t{0});
        listening->step(now);
        over = true;
      }
      if (whole || over) ++frames;
      listening->fill(state, true);
      // Hearing is far faster than thinking: it waits for each answer, or what is shown at a speed would be the advice
      // for the speed before.
      if (over || listening->await_advice()) {
        waiting_since = now;
        return false;
      }
      return true;
    }
    listening->fill(state, true);
    return true;
  }

  ReplaySubject subject;
  ReplaySound* sound = nullptr;
  std::unique_ptr<Listening> listening;
  std::size_t next_step = 0;
  std::uint64_t frames = 0;
  bool over = false;
  std::optional<Clock::time_point> waiting_since;
};

}  // namespace

std::vector<double> replay_speeds() { return {kSpeeds.begin(), kSpeeds.end()}; }

struct Replay::Parts {
  explicit Parts(ReplaySubject subject_in)
      : subject(std::move(subject_in)), hearing(std::make_unique<Hearing>(subject, Clock::now())) {
    view.title = subject.title;
    view.note = subject.note;
    rate_hz = hearing->sound->sample_rate_hz();
    view.length_s = static_cast<double>(hearing->sound->stated_samples()) / rate_hz;
    view.hearing = 1;
  }

  void run(const std::stop_token& stop);
  bool listen_on();
  void move_on(Clock::time_point now);
  void let_hear();

  // Under the lock.
  mutable std::mutex lock;
  ReplaySubject subject;
  ReplayView view;
  Film film{kFramesPerS};
  std::optional<listen::Findings> findings;
  bool anew = false;

  // The replay thread's.
  std::unique_ptr<Hearing> hearing;
  State state;
  double rate_hz = 48000;
  Clock::time_point moved = Clock::now();
  ReplayEar ear;

  std::jthread thread;  // last
};

// Listens for a while; false when there is nothing to do.
bool Replay::Parts::listen_on() {
  std::unique_ptr<Hearing> old;  // its end may take a moment: not under the lock
  {
    const std::lock_guard guard(lock);
    if (anew) {
      anew = false;
      film.clear();
      findings.reset();
      view.heard_s = 0;
      view.all_heard = false;
      ++view.hearing;
      old = std::move(hearing);
    }
  }
  old.reset();
  if (!hearing) {
    ReplaySubject now_is;
    {
      const std::lock_guard guard(lock);
      now_is = subject;
    }
    hearing = std::make_unique<Hearing>(now_is, Clock::now());
  }
  if (hearing->over && !hearing->waiting_since) return false;
  const auto until = Clock::now() + kListenAtATime;
  do {
    if (!hearing->step(Clock::now(), state)) {
      if (hearing->over) continue;
      const std::lock_guard guard(lock);
      view.heard_s = std::max(view.heard_s, state.snapshot.t_s);
      return true;
    }
    const std::lock_guard guard(lock);
    film.add(state);
    view.heard_s = state.snapshot.t_s;
    if (hearing->over) {
      view.all_heard = true;
      view.length_s = static_cast<double>(hearing->sound->at()) / rate_hz;
      view.heard_s = view.length_s;
      findings = hearing->listening->findings();
      if (const auto trouble = hearing->sound->trouble(); !trouble.empty()) view.trouble = trouble;
      return true;
    }
  } while (Clock::now() < until && !(hearing->over && !hearing->waiting_since));
  return true;
}

void Replay::Parts::move_on(Clock::time_point now) {
  const double passed_s = std::min(0.5, std::chrono::duration<double>(now - moved).count());
  moved = now;
  const std::lock_guard guard(lock);
  if (!view.playing) return;
  double at_s = view.at_s + passed_s * view.speed;
  if (view.loop_s) {
    // Chatter that was still there at the end loops from the end.
    const double end_s = view.all_heard ? std::min(view.loop_s->second, view.length_s - kFrameS) : view.loop_s->second;
    if (at_s >= end_s) at_s = view.loop_s->first;
  }
  if (at_s >= view.heard_s) {
    at_s = std::max(view.at_s, view.heard_s);
    if (view.all_heard) view.playing = false;  // the end
  }
  view.at_s = at_s;
}

// The ear goes where the place went. Opening a loudspeaker or winding a file may take its time: never under the lock.
void Replay::Parts::let_hear() {
  double at_s = 0, speed = 1;
  bool wanted = false;
  {
    const std::lock_guard guard(lock);
    at_s = view.at_s;
    speed = view.speed;
    wanted = view.aloud && view.playing && view.speed <= kLoudestSpeed;
  }
  const std::string trouble = ear.follow(subject.files, subject.channel, at_s, speed, wanted);
  if (trouble.empty()) return;
  const std::lock_guard guard(lock);
  view.trouble = trouble;
  view.aloud = false;
}

void Replay::Parts::run(const std::stop_token& stop) {
  while (!stop.stop_requested()) {
    bool busy = false;
    try {
      busy = listen_on();
      move_on(Clock::now());
      let_hear();
    } catch (const std::exception& failure) {
      const std::lock_guard guard(lock);
      view.trouble = failure.what();
      view.playing = false;
      view.all_heard = true;
      if (hearing) hearing->over = true, hearing->waiting_since.reset();
    }
    if (!busy || (hearing && hearing->waiting_since)) std::this_thread::sleep_for(kReplayNap);
  }
}

Replay::Replay(ReplaySubject subject) : parts_(std::make_unique<Parts>(std::move(subject))) {
  parts_->thread = std::jthread([parts = parts_.get()](const std::stop_token& stop) { parts->run(stop); });
}

Replay::~Replay() = default;

void Replay::play(bool on) {
  const std::lock_guard guard(parts_->lock);
  ReplayView& view = parts_->view;
  if (on && view.all_heard && view.at_s >= view.length_s - kFrameS) view.at_s = view.loop_s ? view.loop_s->first : 0;
  view.playing = on;
}

void Replay::seek(double t_s) {
  const std::lock_guard guard(parts_->lock);
  ReplayView& view = parts_->view;
  const double end_s = view.all_heard ? view.length_s : std::max(view.length_s, view.heard_s);
  if (std::isfinite(t_s)) view.at_s = std::clamp(t_s, 0.0, std::max(0.0, end_s));
  if (view.loop_s && (view.at_s < view.loop_s->first || view.at_s > view.loop_s->second)) view.loop_s.reset();
}

void Replay::set_speed(double speed) {
  const std::lock_guard guard(parts_->lock);
  if (std::isfinite(speed)) parts_->view.speed = std::clamp(speed, kSpeeds.front(), kSpeeds.back());
}

void Replay::set_loop(std::optional<std::pair<double, double>> loop_s) {
  const std::lock_guard guard(parts_->lock);
  if (loop_s && !(loop_s->second > loop_s->first)) loop_s.reset();
  parts_->view.loop_s = loop_s;
  if (loop_s && (parts_->view.at_s < loop_s->first || parts_->view.at_s > loop_s->second))
    parts_->view.at_s = loop_s->first;
}

void Replay::set_aloud(bool on) {
  const std::lock_guard guard(parts_->lock);
  parts_->view.aloud = on;
  if (on) parts_->view.trouble.clear();
}

namespace {

// All but the speed, which is each stretch's own.
CutCard with_the_rest_of(const CutCard& card, const CutCard& from) {
  CutCard made = from;
  made.programmed_rpm = card.programmed_rpm;
  made.override_percent = card.override_percent;
  return made;
}

void change_cards(ReplaySubject& subject, double at_s, const CutCard& card) {
  CutCard* here = &subject.card;
  for (ReplayStep& step : subject.steps) {
    if (step.t_s > at_s) break;
    if (auto* change = std::get_if<ChangeCard>(&step.command)) here = &change->card;
  }
  const bool speed = here->entered_rpm() != card.entered_rpm() || here->programmed_rpm != card.programmed_rpm;
  subject.card = with_the_rest_of(subject.card, card);
  for (ReplayStep& step : subject.steps)
    if (auto* change = std::get_if<ChangeCard>(&step.command)) change->card = with_the_rest_of(change->card, card);
  if (!speed) return;
  here->programmed_rpm = card.programmed_rpm;
  here->override_percent = card.override_percent;
}

void insert_step(ReplaySubject& subject, double at_s, const Command& command) {
  const auto after = std::upper_bound(subject.steps.begin(), subject.steps.end(), at_s, [](double t_s, const ReplayStep& step) { return t_s < step.t_s; });
  subject.steps.insert(after, {at_s, command});
}

// A person agrees long after the sound said so, at the end of the recording even, when nothing more is heard: what is heard
// again is turned at the moment at which the machine was. False when the sound fits what was entered.
bool take_heard(ReplaySubject& subject, double at_s, const State& then) {
  if (!then.other_fit) return false;
  const CutCard card = card_as_heard(then.card, *then.other_fit);
  double since_s = at_s;
  if (!then.trials.empty()) since_s = then.trials.back().heard_as_since_s.value_or(at_s);
  if (card.flutes != then.card.flutes)
    change_cards(subject, at_s, card);
  else
    insert_step(subject, since_s, ChangeCard{card});
  return true;
}

}  // namespace

void Replay::change(const Command& command) {
  const std::lock_guard guard(parts_->lock);
  ReplaySubject& subject = parts_->subject;
  const double at_s = parts_->view.at_s;
  if (const auto* change = std::get_if<ChangeCard>(&command)) {
    check_card(change->card);
    change_cards(subject, at_s, change->card);
  } else if (const auto* tried = std::get_if<TakeTried>(&command)) {  // of before, so for the whole of it
    subject.tried.assign(tried->trials().begin(), tried->trials().end());
    std::erase_if(subject.steps, [](const ReplayStep& step) { return std::holds_alternative<TakeTried>(step.command); });
  } else if (std::holds_alternative<TakeHeard>(command)) {
    if (parts_->film.empty()) return;
    State then;
    parts_->film.show(parts_->film.index_at(at_s), then);
    if (!take_heard(subject, at_s, then)) return;
  } else {
    insert_step(subject, at_s, command);
  }
  parts_->anew = true;
}

bool Replay::look(State& state, ReplayView& view) const {
  const std::lock_guard guard(parts_->lock);
  view = parts_->view;
  if (parts_->film.empty()) return false;
  parts_->film.show(parts_->film.index_at(view.at_s), state);
  state.source.running = !view.all_heard || view.at_s < view.length_s - kFrameS;  // held still is not ended
  return true;
}

double Replay::moments(double after_s, std::size_t most, const std::function<void(const State&)>& take) const {
  const std::lock_guard guard(parts_->lock);
  const Film& film = parts_->film;
  State state;
  if (film.empty()) return after_s;
  for (std::size_t i = after_s < film.from_s() ? 0 : film.index_at(after_s) + 1; i < film.size() && most > 0;
       ++i, --most) {
    film.show(i, state);
    take(state);
    after_s = film.time_of(i);
  }
  return after_s;
}

void Replay::between(double from_s, double to_s, const std::function<void(const State&)>& take) const {
  const std::lock_guard guard(parts_->lock);
  const Film& film = parts_->film;
  State state;
  if (film.empty()) return;
  for (std::size_t i = film.index_at(from_s); i < film.size() && film.time_of(i) <= to_s; ++i) {
    film.show(i, state);
    take(state);
  }
}

std::optional<listen::Findings> Replay::findings() const {
  const std::lock_guard guard(parts_->lock);
  return parts_->findings;
}

}  // namespace hushmill::live
