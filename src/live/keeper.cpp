#include "live/keeper.hpp"

#include <algorithm>
#include <array>
#include <atomic>
#include <cmath>
#include <thread>
#include <utility>

#include "live/kept_sound.hpp"
#include "live/kept_story.hpp"
#include "realtime/latest.hpp"
#include "realtime/ring.hpp"

namespace hushmill::live {
namespace {

using Clock = std::chrono::steady_clock;

constexpr std::size_t kPieceSamples = 256;
constexpr double kRingS = 10;  // a disk that is busy for longer loses sound
constexpr std::size_t kRingNotes = 4096;
constexpr std::chrono::milliseconds kKeeperNap{20};
constexpr double kProgressEveryS = 1.0;
constexpr std::chrono::milliseconds kKeeperStateEvery{200};

/// Sound on its way, numbered, so that what was lost before it is known to the sample.
struct Piece {
  std::int64_t first = 0;
  std::uint32_t count = 0;
  std::array<float, kPieceSamples> samples{};
};

}  // namespace

struct Keeper::Parts {
  explicit Parts(const KeepingSettings& settings)
      : takes_sound(settings.listened.empty()),
        sound(settings),
        pieces(std::max<std::size_t>(64, static_cast<std::size_t>(kRingS * settings.sample_rate_hz / kPieceSamples))),
        notes(kRingNotes) {
    if (settings.journal) story = std::make_unique<KeptStory>(settings);
    publish();
  }

  void run();
  bool drain();
  void take(const Kept& kept);
  void publish();

  const bool takes_sound;  // false: the sound is a file already

  // The disk thread's.
  KeptSound sound;
  std::unique_ptr<KeptStory> story;

  // Between the two.
  realtime::Ring<Piece> pieces;
  realtime::Ring<std::shared_ptr<const Kept>> notes;
  realtime::Latest<KeepingState> states;
  std::atomic<bool> closing{false};

  // The listening thread's.
  std::int64_t heard = 0;
  std::uint64_t noted = 0;
  Piece piece{};

  std::thread thread;
};

void Keeper::Parts::take(const Kept& kept) {
  if (std::holds_alternative<KeepMinute>(kept)) sound.keep_minute();
  if (const auto* hold = std::get_if<HoldMinute>(&kept)) sound.hold_minute(hold->on);
  if (const auto* record = std::get_if<RecordSession>(&kept)) sound.record(record->on);
  if (std::holds_alternative<DropSound>(kept)) sound.drop();
}

/// Takes what the listening thread handed over; true when there was something.
bool Keeper::Parts::drain() {
  // Notes that are there now speak of sound that was pushed before them.
  std::size_t told = notes.waiting();
  bool some = told > 0;
  Piece next;
  while (pieces.pop(next)) {
    sound.hear(next.first, std::span<const float>(next.samples).first(next.count));
    sound.sync(Clock::now());
    some = true;
  }
  std::shared_ptr<const Kept> kept;
  while (told-- > 0 && notes.pop(kept)) {
    take(*kept);
    if (story) story->note(std::move(kept));
  }
  return some;
}

void Keeper::Parts::publish() {
  KeepingState& state = states.draft();
  state = {};
  if (story) {
    state.journal = true;
    state.session = story->session();
    state.kept_events = story->kept_events();
    state.kept_notes = story->kept_notes();
    state.journal_trouble = story->trouble();
  }
  state.minute = sound.holding();
  state.minute_s = sound.minute_s();
  state.recording = sound.recording();
  state.recorded_s = sound.recorded_s();
  for (const KeptFile& file : sound.files()) {
    if (file.gone || file.kind == "listened") continue;
    ++state.kept_recordings;
    state.last_file = file.path.filename().string();
  }
  state.missing_samples = static_cast<std::uint64_t>(sound.missing_samples());
  state.holes.assign(sound.holes().begin(), sound.holes().end());
  state.missing_notes = notes.lost() + (story ? story->dropped() : 0);
  state.sound_trouble = sound.trouble();
  state.news = sound.news().empty() && story ? story->news() : sound.news();
  states.publish();
}

void Keeper::Parts::run() {
  auto next_state = Clock::now();
  while (true) {
    const bool last = closing.load(std::memory_order_acquire);  // asked before draining, so that nothing stays behind
    bool more = drain();
    const auto now = Clock::now();
    sound.sync(now);
    if (story) story->write(sound.files(), now);
    more = sound.work() || more;
    if (more || now >= next_state) {
      publish();
      next_state = now + kKeeperStateEvery;
    }
    if (last) break;
    if (!more) std::this_thread::sleep_for(kKeeperNap);
  }
  sound.finish();
  if (story) story->write(sound.files(), Clock::now() + std::chrono::hours(1));  // the last try is always made
  publish();
}

Keeper::Keeper(const KeepingSettings& settings) : parts_(std::make_unique<Parts>(settings)) {
  parts_->thread = std::thread([parts = parts_.get()] { parts->run(); });
}

Keeper::~Keeper() { close(); }

KeepingState Keeper::close() {
  Parts& p = *parts_;
  p.closing.store(true, std::memory_order_release);
  if (p.thread.joinable()) p.thread.join();
  KeepingState state;
  p.states.take(state);
  return state;
}

void Keeper::hear(std::span<const float> samples) noexcept {
  Parts& p = *parts_;
  if (!p.takes_sound) return;
  while (!samples.empty()) {
    const std::size_t count = std::min(samples.size(), kPieceSamples);
    p.piece.first = p.heard;
    p.piece.count = static_cast<std::uint32_t>(count);
    std::copy_n(samples.begin(), count, p.piece.samples.begin());
    p.pieces.push(p.piece);
    p.heard += static_cast<std::int64_t>(count);
    samples = samples.subspan(count);
  }
}

void Keeper::note(Kept kept) {
  ++parts_->noted;
  parts_->notes.push(std::make_shared<const Kept>(std::move(kept)));
}

std::uint64_t Keeper::noted() const noexcept { return parts_->noted; }

bool Keeper::take(KeepingState& state) { return parts_->states.take(state); }

double Keeper::backlog() const noexcept {
  const auto share = [](const auto& ring) { return 1.0 - static_cast<double>(ring.room()) / static_cast<double>(ring.capacity()); };
  return std::max(share(parts_->pieces), share(parts_->notes));
}

std::string not_all_kept(const KeepingState& state, std::uint64_t noted) {
  if (state.kept_notes >= noted) return {};
  std::string text = "the journal lacks the last " + std::to_string(noted - state.kept_notes) + " of " + std::to_string(noted) +
                     " notes of this session";
  if (!state.journal_trouble.empty()) text += ": " + state.journal_trouble;
  return text;
}

bool progress_due(double now_s, double last_s, const listen::Findings& findings) noexcept {
  if (now_s - last_s < kProgressEveryS || findings.cuts.empty()) return false;
  const double end_s = findings.cuts.back().end_s;
  return end_s < 0 || last_s < end_s + kProgressEveryS;
}

KeptProgress kept_progress(double heard_s, const listen::Findings& findings, std::span<const trial::Trial> trials) {
  KeptProgress kept;
  kept.heard_s = heard_s;
  kept.trials.trials = trials_kept(trials);
  if (findings.episodes.empty() || !findings.episodes.back().open) return kept;
  const auto number = findings.episodes.size();
  const auto& stretch = findings.stretches.back();
  const auto event = kept_event({0, heard_s, listen::EventKind::chatter_ends, static_cast<int>(number) - 1}, findings, stretch.entered_rpm, stretch.measured_rpm);
  kept.episode_number = static_cast<std::int64_t>(number);
  kept.episode = *event.episode;
  kept.episode.end_s = heard_s;
  kept.entered_rpm = event.entered_rpm;
  kept.measured_rpm = event.measured_rpm;
  return kept;
}

KeptEvent kept_event(const listen::Event& event, const listen::Findings& findings, double entered_rpm,
                     std::optional<double> measured_rpm) {
  using listen::EventKind;
  KeptEvent kept;
  kept.event = event;
  kept.when = std::chrono::system_clock::now();
  kept.entered_rpm = entered_rpm;
  kept.measured_rpm = measured_rpm;
  const auto at = static_cast<std::size_t>(event.index);
  const auto there = [&](const auto& list) { return event.index >= 0 && at < list.size(); };
  switch (event.kind) {
    case EventKind::chatter_onset:
    case EventKind::chatter_ends:
      if (there(findings.episodes)) {
        kept.episode = findings.episodes[at];
        // At its end the speed may be another one by now: the one at which it was raised counts.
        for (const listen::SpeedStretch& stretch : findings.stretches) {
          if (stretch.from_s > kept.episode->alert_s && &stretch != &findings.stretches.front()) break;
          kept.entered_rpm = stretch.entered_rpm;
          if (stretch.measured_rpm || &stretch != &findings.stretches.back()) kept.measured_rpm = stretch.measured_rpm;
        }
        kept.hz = kept.episode->chatter_hz;
      }
      break;
    case EventKind::cut_begins:
    case EventKind::cut_ends:
      if (there(findings.cuts)) kept.cut = findings.cuts[at];
      break;
    case EventKind::foreign_tone:
      if (there(findings.foreign_tones)) kept.hz = findings.foreign_tones[at].hz;
      break;
    default: break;
  }
  return kept;
}

}  // namespace hushmill::live
