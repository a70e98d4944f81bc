#include "live/listening.hpp"

#include <algorithm>
#include <cmath>
#include <exception>
#include <sstream>
#include <type_traits>
#include <utility>

#include "live/card_question.hpp"
#include "live/earlier_trials.hpp"
#include "live/heard_card.hpp"

namespace hushmill::live {
namespace {

constexpr double kStepS = 0.1;     // most that is heard between two looks at the commands
constexpr double kPieceS = 0.004;  // below one hop, so that no hop's peak is overwritten unseen
constexpr double kFinalWithinS = 2;  // after its end the figures of a chatter are final
constexpr double kAdviceEveryS = 1;  // the journal needs no finer history of it
constexpr double kHoleClosedS = 1.5;  // the keeper joins what is less than a second apart
constexpr double kSlipS = 20;  // a set-up that is typed back so soon was never another one
constexpr std::size_t kKeptEvents = 64;
constexpr std::size_t kKeptEpisodes = 32;
constexpr std::size_t kKeptGaps = 32;
constexpr std::size_t kKeptTrials = 32;
constexpr std::chrono::milliseconds kReopenEvery{250};

CutCard checked(const CutCard& card) {
  check_card(card);
  return card;
}

std::uint64_t sample_at(double t_s, double rate_hz) { return static_cast<std::uint64_t>(std::llround(std::max(0.0, t_s) * rate_hz)); }

std::string at(double t_s) {
  std::ostringstream text;
  text.precision(2);
  text << "at " << std::fixed << t_s << " s";
  return text.str();
}

}  // namespace

Listening::Listening(const LiveSettings& settings, std::unique_ptr<capture::Source> source, Time start)
    : kind_(settings.kind),
      log_(settings.log),
      keeper_(settings.keeper),
      card_(checked(settings.card)),
      source_(std::move(source)),
      rig_(dynamic_cast<capture::RigSource*>(source_.get())),
      listener_({source_->sample_rate_hz(), card_.entered_rpm(), card_.comb_flutes(), card_.flutes / card_.comb_flutes()}),
      trials_(settings.rules, settings.tags),
      entered_later_(settings.entered_later.begin(), settings.entered_later.end()),
      advice_(&advise::advise, settings.tried) {
  samples_.resize(std::max<std::size_t>(1, static_cast<std::size_t>(kPieceS * source_->sample_rate_hz())));
  if (kind_ != SourceKind::microphone && settings.real_time) pace_.emplace(source_->sample_rate_hz(), start);
  if (log_) {
    std::ostringstream line;
    line << "listening to '" << source_->name() << "', " << source_->sample_rate_hz() << " Hz, " << card_.entered_rpm()
         << " rev/min, " << card_.flutes << " flutes";
    log_->note(line.str());
  }
}

void Listening::apply(const Command& command) {
  if (const auto* change = std::get_if<ChangeCard>(&command)) {
    change_card(change->card);
  } else if (const auto* turn = std::get_if<TurnRig>(&command)) {
    if (rig_ != nullptr) turn_rig(turn->controls);
  } else if (const auto* hear = std::get_if<HearRig>(&command)) {
    hear_rig(hear->volume);
  } else if (const auto* check = std::get_if<CheckMicrophone>(&command)) {
    check_microphone(check->on);
  } else if (std::holds_alternative<MarkPass>(command)) {
    trials_.mark(listener_.snapshot().t_s);
    keep_mark("lap_marked");
  } else if (const auto* tag = std::get_if<TagPlace>(&command)) {
    trials_.tag(listener_.snapshot().t_s, tag->place);
    keep_mark("place", tag->place ? std::string(trial::word(*tag->place)) : std::string());
  } else if (std::holds_alternative<AnotherCut>(command)) {
    begin_another_cut();
  } else if (const auto* up = std::get_if<TakeUp>(&command)) {
    begin_another_cut();
    keep_mark(up->kind(), up->words());
    taken_up_ = up->words();
  } else if (const auto* tried = std::get_if<TakeTried>(&command)) {
    advice_.take_tried(tried->trials());
    keep_mark("tried_before", tried_text(tried->trials()));
  } else if (const auto* quiet = std::get_if<PauseListening>(&command)) {
    pause(quiet->on);
    source_->rest(quiet->on && quiet->device_too);
  } else if (const auto* missing = std::get_if<MissSound>(&command)) {
    heed_gap({static_cast<double>(heard_) / source_->sample_rate_hz(), missing->lost_s});
  } else if (std::holds_alternative<TakeHeard>(command)) {
    take_heard();
  } else if (keeper_) {
    std::visit(
        [&](const auto& one) {
          if constexpr (std::is_constructible_v<Kept, decltype(one)>) keeper_->note(one);
        },
        command);
  }
}

// What the person did, to the sample, so that a replay can do it again.
void Listening::keep_mark(const char* kind, const std::string& text) {
  if (keeper_) keeper_->note(KeptMark{static_cast<double>(heard_) / source_->sample_rate_hz(), kind, text});
}

void Listening::pause(bool on) {
  if (kind_ == SourceKind::recording || paused_ == on) return;
  paused_ = on;
  keep_mark(on ? "listening_paused" : "listening_goes_on");
  if (log_) log_->note(std::string(on ? "listening was paused " : "listening goes on ") + at(listener_.snapshot().t_s));
}

bool Listening::await_advice() {
  advice_.process(listener_.snapshot(), listener_.findings(), card_, heard_instead());
  return advice_.waiting();
}

void Listening::keep_advice(bool last) {
  if (!keeper_ || !advice_.ready() || listener_.findings().episodes.empty()) return;
  // What is said after it ended, or of another tool, is no advice for that chatter.
  const listen::Episode& episode = listener_.findings().episodes.back();
  const std::size_t number = listener_.findings().episodes.size();
  const bool late = listener_.snapshot().t_s > episode.end_s + kFinalWithinS;
  if (!episode.open && (set_up_since_s_ > episode.end_s || (late && advice_kept_.episode == number))) return;
  const advise::Advice& advice = advice_.advice();
  const AdviceKept now{number, advice.lower ? advice.lower->spindle_rpm : 0,
                       advice.higher ? advice.higher->spindle_rpm : 0, listener_.snapshot().t_s};
  const bool same = now.episode == advice_kept_.episode && now.lower_rpm == advice_kept_.lower_rpm &&
                    now.higher_rpm == advice_kept_.higher_rpm;
  if (same || (!last && now.episode == advice_kept_.episode && now.t_s < advice_kept_.t_s + kAdviceEveryS)) return;
  advice_kept_ = now;
  keeper_->note(KeptAdvice{now.t_s, static_cast<std::int64_t>(now.episode), advice});
}

void Listening::change_card(const CutCard& card) {
  try {
    check_card(card);
  } catch (const std::invalid_argument& bad) {
    if (log_) log_->warn(std::string("card not taken: ") + bad.what());
    return;
  }
  const CutCard before = std::exchange(card_, card);
  // To the sample, so that a replay can turn the speed at the very same place.
  if (keeper_) keeper_->note(KeptCard{static_cast<double>(heard_) / source_->sample_rate_hz(), card});
  const double t_s = listener_.snapshot().t_s;
  const bool other_set_up = another_set_up(before, card);
  const bool taken_back = other_set_up && slip_ && t_s - slip_->second < kSlipS && !another_set_up(slip_->first, card);
  advice_.change_card(before, card, t_s, taken_back);
  if (over_) {  // the recording is at its end: only the advice can still change
    advice_.process(listener_.snapshot(), listener_.findings(), card_, heard_instead());
    return;
  }
  if (before.entered_rpm() != card.entered_rpm()) listener_.set_spindle_rpm(card.entered_rpm());
  if (before.comb_flutes() != card.comb_flutes()) listener_.set_flutes(card.comb_flutes());
  if (!other_set_up) return;
  if (taken_back) {
    trials_.old_set_up(t_s);
    slip_.reset();
  } else {
    trials_.new_set_up(t_s);
    set_up_since_s_ = t_s;
    slip_ = {before, t_s};
  }
}

void Listening::turn_rig(const rig::RigControls& controls) {
  const rig::RigControls& before = rig_->controls();
  const bool another_cut = before.depth_mm != controls.depth_mm || before.radial_mm != controls.radial_mm ||
                           before.feed_per_tooth_mm != controls.feed_per_tooth_mm;
  if (another_cut) begin_another_cut();
  rig_->turn(controls);
}

void Listening::begin_another_cut() {
  slip_.reset();
  keep_mark("another_cut");
  advice_.forget_trials(listener_.snapshot().t_s);
  trials_.new_set_up(listener_.snapshot().t_s);
  set_up_since_s_ = listener_.snapshot().t_s;
}

void Listening::take_heard() {
  const auto heard = heard_instead();
  if (!heard || over_) return;
  // The trial of that speed began when the sound first said so, not when the person found the time to agree.
  keep_mark("heard_taken");
  if (doubted_since_s_ && heard->flutes == card_.comb_flutes()) trials_.next_began(*doubted_since_s_);
  change_card(card_as_heard(card_, *heard));
}

void Listening::note_doubt() {
  if (!heard_instead())
    doubted_since_s_.reset();
  else if (!doubted_since_s_)
    doubted_since_s_ = listener_.snapshot().t_s;
}

void Listening::hear_rig(double volume) {
  if (!pace_) return;  // a microphone would hear itself, and what runs faster than sound cannot be heard
  if (!(volume > 0)) {
    // Kept open, so that turning it up again is at once; with volume 0 it plays silence.
    if (loudspeaker_) loudspeaker_->set_volume(0);
    loudspeaker_trouble_.clear();
    return;
  }
  try {
    if (!loudspeaker_ || !loudspeaker_->running()) {
      loudspeaker_.reset();
      loudspeaker_ = std::make_unique<capture::Loudspeaker>(source_->sample_rate_hz());
    }
    loudspeaker_->set_volume(volume);
    loudspeaker_trouble_.clear();
  } catch (const std::exception& failure) {
    loudspeaker_trouble_ = failure.what();
    if (log_) log_->warn(loudspeaker_trouble_);
  }
}

void Listening::check_microphone(bool on) {
  check_.reset();
  if (on) check_.emplace(listen::CheckSettings{.sample_rate_hz = source_->sample_rate_hz()});
}

void Listening::heed_door() {
  const auto fault = source_->sides_fault();
  if (fault == capture::SidesFault::none) return;
  const auto warning = fault == capture::SidesFault::one_sided ? listen::Warning::one_sided : listen::Warning::sides_cancel;
  listener_.warn(warning);
  if (check_) check_->note(warning);
}

std::size_t Listening::due(Time now) {
  const auto most = static_cast<std::size_t>(kStepS * source_->sample_rate_hz());
  return pace_ ? std::min(pace_->due(now), most) : most;
}

// Dated by the sound, not by whoever looks on: what runs faster than sound is far ahead of any screen.
void Listening::enter_planned() {
  while (!entered_later_.empty() && heard_ >= sample_at(entered_later_.front().at_s, source_->sample_rate_hz())) {
    CutCard card = card_;
    card.override_percent = 100 * entered_later_.front().spindle_rpm / card.programmed_rpm;
    entered_later_.pop_front();
    change_card(card);
  }
}

std::size_t Listening::until_planned(std::size_t samples) const {
  if (entered_later_.empty()) return samples;
  return static_cast<std::size_t>(std::min<std::uint64_t>(samples, sample_at(entered_later_.front().at_s, source_->sample_rate_hz()) - heard_));
}

bool Listening::step(Time now) {
  if (over_) {
    advice_.process(listener_.snapshot(), listener_.findings(), card_, heard_instead());  // the last answer may still be on its way
    keep_advice(true);
    return false;
  }
  std::size_t left = due(now);
  if (paused_ && rig_ != nullptr) {  // a simulated machine stands still meanwhile; a microphone is read and not listened to
    if (pace_) pace_->took(left);
    return false;
  }
  bool more = left > 0;
  while (left > 0) {
    if (!paused_) enter_planned();
    const std::size_t most = std::min(left, samples_.size());
    const std::size_t got = source_->read(std::span(samples_).first(paused_ ? most : until_planned(most)));
    if (got > 0 && !paused_) hear(std::span<const float>(samples_).first(got));
    const auto gap = source_->take_gap();
    if (gap && !paused_) keep_gap(*gap);
    if (got == 0 && !gap) {
      more = false;
      break;
    }
    if (pace_) pace_->took(got);
    left -= got;
  }
  heed_door();
  watch_source(now);
  return more && !over_ && !pace_;
}

void Listening::hear(std::span<const float> samples) {
  if (heard_ == 0 && !advice_.tried_before().empty()) keep_mark("tried_before", tried_text(advice_.tried_before()));
  const std::int64_t hop_before = listener_.snapshot().sample;
  listener_.process(samples);
  heard_ += samples.size();
  if (check_) check_->process(samples);
  if (loudspeaker_) loudspeaker_->push(samples);
  if (keeper_ && kind_ != SourceKind::recording) keeper_->hear(samples);
  const listen::Snapshot& snapshot = listener_.snapshot();
  if (snapshot.sample == hop_before) return;
  new_peak_dbfs_ = std::max(new_peak_dbfs_.value_or(snapshot.peak_dbfs), snapshot.peak_dbfs);
  keep_events();
  trials_.process(snapshot, listener_.findings());
  if (keeper_ && trials_.ended() > trials_kept_) keep_trials();
  keep_progress();
  note_doubt();
  advice_.process(snapshot, listener_.findings(), card_, heard_instead());
  keep_advice(false);
}

void Listening::keep_events() {
  for (const listen::Event& event : listener_.take_events()) {
    events_.push_back(event);
    if (events_.size() > kKeptEvents) events_.pop_front();
    log_event(event);
    const listen::Snapshot& now = listener_.snapshot();
    if (keeper_) keeper_->note(kept_event(event, listener_.findings(), now.entered_rpm, now.measured_rpm));
  }
}

void Listening::heed_gap(const LostSound& lost) {
  lost_.push_back(lost);
  if (lost_.size() > kKeptGaps) lost_.pop_front();
  listener_.note_gap();
  listener_.warn(listen::Warning::dropped_samples);
}

void Listening::keep_gap(const capture::Gap& gap) {
  const double rate_hz = source_->sample_rate_hz();
  const LostSound lost{static_cast<double>(gap.before_sample) / rate_hz, static_cast<double>(gap.samples) / rate_hz};
  heed_gap(lost);
  if (keeper_) keeper_->note(KeptLoss{lost.t_s, lost.lost_s});
  if (check_) check_->note(listen::Warning::dropped_samples);
  if (!log_) return;
  std::ostringstream line;
  line << "lost " << gap.samples << " samples " << at(lost.t_s) << ", " << source_->lost_samples() << " in all";
  log_->warn(line.str());
}

// At the end of each trial, so that a kill costs the journal only the one that runs.
void Listening::keep_trials() {
  const auto trials = trials_.trials(listener_.findings());
  keeper_->note(KeptTrials{trials_kept(trials), trial::speed_table(trials)});
  trials_kept_ = trials_.ended();
}

void Listening::keep_progress() {
  const double now_s = listener_.snapshot().t_s;
  const auto& findings = listener_.findings();
  if (!keeper_ || !progress_due(now_s, progress_s_, findings)) return;
  progress_s_ = now_s;
  keeper_->note(kept_progress(now_s, findings, trials_.last_trials(findings, kTrialsToldAgain)));
}

void Listening::keep_end() {
  if (!keeper_ || std::exchange(end_is_kept_, true)) return;
  keeper_->take(keeping_);
  note_holes(0);
  keep_advice(true);
  keep_trials();
  keeper_->note(KeptEnd{listener_.snapshot().t_s, listener_.findings()});
}

// What the recordings lack is dated in the journal, too, once such a hole grows no more.
void Listening::note_holes(double closed_s) {
  const double now_s = static_cast<double>(heard_) / source_->sample_rate_hz();
  for (const KeptHole& hole : keeping_.holes) {
    if (hole.from_s <= noted_hole_s_ || now_s - hole.until_s < closed_s) continue;
    noted_hole_s_ = hole.from_s;
    keeper_->note(KeptMark{hole.from_s, "sound_not_kept", std::to_string(hole.lost_s) + " s"});
    if (log_) log_->warn("the disk was too slow for " + std::to_string(hole.lost_s) + " s of sound " + at(hole.from_s));
  }
}

// What the disk does not take is in the log, where the screen has only a few words for it.
void Listening::take_keeping() {
  const std::string before[] = {keeping_.sound_trouble, keeping_.journal_trouble};
  if (!keeper_->take(keeping_)) return;
  note_holes(kHoleClosedS);
  if (!log_) return;
  if (!keeping_.sound_trouble.empty() && keeping_.sound_trouble != before[0]) log_->warn(keeping_.sound_trouble);
  if (!keeping_.journal_trouble.empty() && keeping_.journal_trouble != before[1]) log_->warn(keeping_.journal_trouble);
}

Listening::~Listening() {
  // Closed by the person while the sound still flows: what is open ends here.
  if (!keeper_ || over_) return;
  // A moment without an event (no display, say) is no session.
  if (events_.empty() && static_cast<double>(heard_) < source_->sample_rate_hz()) return;
  try {
    listener_.finish();
    trials_.finish(listener_.findings());
    keep_events();
    keep_end();
  } catch (const std::exception&) {
    // The journal then says that the session ended without a word.
  }
}

void Listening::end() {
  over_ = true;
  running_ = false;
  listener_.finish();
  trials_.finish(listener_.findings());
  if (check_) check_->finish();
  keep_events();
  keep_end();
  if (log_) log_->note("the sound ended " + at(listener_.snapshot().t_s));
}

void Listening::watch_source(Time now) {
  if (!source_->ended()) return;
  if (kind_ != SourceKind::microphone) {
    if (log_ && !source_->trouble().empty()) log_->warn(source_->trouble());
    end();
    return;
  }
  if (running_) {
    running_ = false;
    next_reopen_ = now + kReopenEvery;
    if (log_) log_->warn(source_->trouble() + " (" + at(listener_.snapshot().t_s) + ")");
  } else if (now >= next_reopen_) {
    running_ = source_->reopen();
    next_reopen_ = now + kReopenEvery;
    if (running_ && log_) log_->note("'" + source_->name() + "' is back");
  }
}

void Listening::give_up(const std::string& why) {
  over_ = true;
  running_ = false;
  given_up_because_ = why;
  if (log_) log_->warn("listening was given up: " + why);
}

void Listening::log_event(const listen::Event& event) {
  if (!log_) return;
  std::ostringstream line;
  line << listen::word(event.kind) << ' ' << at(event.t_s);
  const auto& findings = listener_.findings();
  const auto index = static_cast<std::size_t>(event.index);
  const bool of_episode =
      event.kind == listen::EventKind::chatter_onset || event.kind == listen::EventKind::chatter_ends;
  if (of_episode && event.index >= 0 && index < findings.episodes.size()) {
    line << ", " << findings.episodes[index].chatter_hz << " Hz";
  }
  log_->note(line.str());
}

std::string Listening::trouble() const {
  if (!given_up_because_.empty()) return given_up_because_;
  const std::string of_source = source_->trouble();
  return of_source.empty() ? loudspeaker_trouble_ : of_source;
}

void Listening::fill(State& state, bool last_was_taken) {
  const listen::Findings& findings = listener_.findings();
  state.snapshot = listener_.snapshot();
  double& peak_dbfs = state.snapshot.peak_dbfs;
  peak_dbfs = new_peak_dbfs_.value_or(peak_dbfs);
  if (!last_was_taken) peak_dbfs = std::max(peak_dbfs, untaken_peak_dbfs_);
  untaken_peak_dbfs_ = peak_dbfs;
  new_peak_dbfs_.reset();
  state.events.assign(events_.begin(), events_.end());
  const std::size_t from = findings.episodes.size() - std::min(findings.episodes.size(), kKeptEpisodes);
  state.episodes.assign(findings.episodes.begin() + static_cast<std::ptrdiff_t>(from), findings.episodes.end());
  state.episode_count = findings.episodes.size();
  state.warnings = findings.warnings;
  state.other_fit = heard_instead();
  state.lost.assign(lost_.begin(), lost_.end());
  state.trials = trials_.last_trials(findings, kKeptTrials);
  if (state.trials.size() > kKeptTrials)
    state.trials.erase(state.trials.begin(), state.trials.end() - static_cast<std::ptrdiff_t>(kKeptTrials));
  state.trials_before = trials_.count() - state.trials.size();
  state.marked_s = trials_.marks_s().empty() ? std::nullopt : std::optional(trials_.marks_s().back());
  state.place = trials_.place_now();
  state.advice = advice_.advice();
  state.advice_ready = advice_.ready();
  state.tried = advice_.tried_before();
  state.card = card_;
  state.paused = paused_;
  state.taken_up = taken_up_;
  state.source = {kind_, source_->name(), source_->sample_rate_hz(), source_->lost_samples(), running_, trouble()};
  state.check = check_ ? std::optional(check_->state()) : std::nullopt;
  if (keeper_) take_keeping();
  state.keeping = keeper_ ? std::optional(keeping_) : std::nullopt;
  state.rig = rig_ != nullptr ? std::optional(rig_->controls()) : std::nullopt;
}

}  // namespace hushmill::live
