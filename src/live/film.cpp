#include "live/film.hpp"

#include <algorithm>
#include <cmath>

namespace hushmill::live {
namespace {

constexpr double kLowestDbfs = -127.5;
constexpr double kSettledS = 3;        // findings and levels older than this change no more
constexpr double kNearlyAFrame = 0.7;  // states come on whole hops, now a little early, now a little late

std::vector<std::uint8_t> packed(const std::vector<float>& dbfs) {
  std::vector<std::uint8_t> levels(dbfs.size());
  for (std::size_t i = 0; i < dbfs.size(); ++i) {
    const double steps = std::round(2 * (static_cast<double>(dbfs[i]) - kLowestDbfs));
    levels[i] = static_cast<std::uint8_t>(steps > 0 ? std::min(steps, 255.0) : 0.0);
  }
  return levels;
}

void unpack(const std::vector<std::uint8_t>& levels, std::vector<float>& dbfs) {
  dbfs.resize(levels.size());
  for (std::size_t i = 0; i < levels.size(); ++i) dbfs[i] = static_cast<float>(kLowestDbfs + levels[i] / 2.0);
}

// How many at the front will not change any more.
std::size_t settled_episodes(const State& state) {
  std::size_t count = 0;
  while (count < state.episodes.size() && !state.episodes[count].open &&
         state.episodes[count].end_s < state.snapshot.t_s - kSettledS)
    ++count;
  return count;
}

std::size_t settled_trials(const State& state) {
  std::size_t count = 0;
  while (count < state.trials.size() && !state.trials[count].running &&
         state.trials[count].to_s < state.snapshot.t_s - kSettledS)
    ++count;
  return count;
}

bool same_speed(const std::optional<advise::Candidate>& a, const std::optional<advise::Candidate>& b) {
  return a.has_value() == b.has_value() && (!a || (a->spindle_rpm == b->spindle_rpm && a->likelihood == b->likelihood));
}

bool same_fit(const std::optional<listen::OtherFit>& a, const std::optional<listen::OtherFit>& b) {
  return a.has_value() == b.has_value() && (!a || (a->spindle_rpm == b->spindle_rpm && a->flutes == b->flutes));
}

}  // namespace

Film::Film(double frames_per_s, std::size_t most_bytes)
    : first_every_s_(1 / frames_per_s), every_s_(first_every_s_), most_bytes_(most_bytes) {}

void Film::clear() {
  frames_.clear();
  bytes_ = 0;
  every_s_ = first_every_s_;
}

// What was kept with the last frame does again while nothing in it has changed.
std::shared_ptr<const State> Film::rest_of(const State& state, std::size_t episodes, std::size_t trials) {
  if (!frames_.empty()) {
    const auto& last = frames_.back().rest;
    const auto same = [](const auto& a, const auto& b, const auto& by) {
      return a.size() == b.size() && (a.empty() || by(a.back()) == by(b.back()));
    };
    const bool unchanged =
        last->episodes.size() == episodes && last->episode_count == state.episode_count &&
        last->trials.size() == trials && last->trials_before == state.trials_before &&
        last->warnings == state.warnings && same_fit(last->other_fit, state.other_fit) &&
        same(last->events, state.events, [](const auto& e) { return e.sample; }) &&
        same(last->lost, state.lost, [](const auto& l) { return l.t_s; }) && last->marked_s == state.marked_s &&
        last->place == state.place && last->advice_ready == state.advice_ready &&
        last->advice.reason == state.advice.reason && same_speed(last->advice.lower, state.advice.lower) &&
        same_speed(last->advice.higher, state.advice.higher) && last->source.name == state.source.name && last->taken_up == state.taken_up &&
        last->tried == state.tried &&
        last->source.lost_samples == state.source.lost_samples && last->source.running == state.source.running &&
        last->source.trouble == state.source.trouble;
    if (unchanged) return last;
  }
  auto rest = std::make_shared<State>(state);
  rest->snapshot = {};
  rest->keeping.reset();
  rest->check.reset();
  rest->episodes.resize(episodes);
  rest->trials.resize(trials);
  return rest;
}

void Film::add(const State& state) {
  const double t_s = state.snapshot.t_s;
  if (!std::isfinite(t_s)) return;
  if (!frames_.empty()) {
    const listen::Snapshot& last = frames_.back().snapshot;
    if (t_s < last.t_s)
      clear();
    else if (t_s < last.t_s + every_s_ * kNearlyAFrame && state.snapshot.verdict == last.verdict)
      return;
  }
  Frame frame;
  const std::size_t episodes = settled_episodes(state), trials = settled_trials(state);
  frame.rest = rest_of(state, episodes, trials);
  frame.spectrum = packed(state.snapshot.spectrum_dbfs);
  Levels room = packed(state.snapshot.room_dbfs);
  const bool same_room = !frames_.empty() && *frames_.back().room == room;
  frame.room = same_room ? frames_.back().room : std::make_shared<const Levels>(std::move(room));
  frame.snapshot = state.snapshot;
  frame.snapshot.spectrum_dbfs = {};
  frame.snapshot.room_dbfs = {};
  frame.snapshot.peaks.shrink_to_fit();
  frame.episodes.assign(state.episodes.begin() + static_cast<std::ptrdiff_t>(episodes), state.episodes.end());
  frame.trials.assign(state.trials.begin() + static_cast<std::ptrdiff_t>(trials), state.trials.end());
  frame.card = state.card;
  frame.rig = state.rig;
  const bool new_rest = frames_.empty() || frames_.back().rest != frame.rest;
  frame.bytes = sizeof(Frame) + frame.spectrum.size() + frame.snapshot.peaks.size() * sizeof(listen::Peak) +
                frame.episodes.size() * sizeof(listen::Episode) + frame.trials.size() * sizeof(trial::Trial) +
                (same_room ? 0 : frame.room->size()) +
                (new_rest ? sizeof(State) + (frame.rest->episodes.size() * sizeof(listen::Episode) +
                                             frame.rest->trials.size() * sizeof(trial::Trial) +
                                             frame.rest->events.size() * sizeof(listen::Event))
                          : 0);
  bytes_ += frame.bytes;
  frames_.push_back(std::move(frame));
  if (bytes_ > most_bytes_) thin_out();
}

void Film::thin_out() {
  std::vector<Frame> fewer;
  fewer.reserve(frames_.size() / 2 + 2);
  bytes_ = 0;
  for (std::size_t i = 0; i < frames_.size(); ++i) {
    const bool turn = i > 0 && frames_[i].snapshot.verdict != frames_[i - 1].snapshot.verdict;
    if (i % 2 == 1 && !turn && i + 1 < frames_.size()) continue;
    bytes_ += frames_[i].bytes;
    fewer.push_back(std::move(frames_[i]));
    // The next one asks for this verdict; it is a plain value and survived the move.
  }
  frames_ = std::move(fewer);
  every_s_ *= 2;
}

std::size_t Film::index_at(double t_s) const noexcept {
  const auto after = std::upper_bound(frames_.begin(), frames_.end(), t_s,
                                      [](double t, const Frame& frame) { return t < frame.snapshot.t_s; });
  return after == frames_.begin() ? 0 : static_cast<std::size_t>(after - frames_.begin()) - 1;
}

void Film::show(std::size_t index, State& state) const {
  const Frame& frame = frames_[index];
  state = *frame.rest;
  state.snapshot = frame.snapshot;
  unpack(frame.spectrum, state.snapshot.spectrum_dbfs);
  unpack(*frame.room, state.snapshot.room_dbfs);
  state.episodes.insert(state.episodes.end(), frame.episodes.begin(), frame.episodes.end());
  state.trials.insert(state.trials.end(), frame.trials.begin(), frame.trials.end());
  state.card = frame.card;
  state.rig = frame.rig;
}

}  // namespace hushmill::live
