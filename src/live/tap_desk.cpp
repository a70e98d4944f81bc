#include "live/tap_desk.hpp"

#include <algorithm>
#include <cmath>
#include <exception>

#include "setup/taps.hpp"

namespace hushmill::live {
namespace {

constexpr double kDeskStepS = 0.05;
constexpr double kDeskPieceS = 0.02;
constexpr std::size_t kPieces = 400;  // 8 s
constexpr double kRoomS = 2;          // of quiet
constexpr double kLookEveryS = 0.3, kLookShare = 0.03;
constexpr double kRingOutS = 1.0;  // after a tap, before its modes are looked for
constexpr std::size_t kEnough = 5;
// A room that hums steadily is fine: it is told from taps. What comes and goes, as a voice or a knock, is not.
constexpr double kUnquietDb = 15, kDeadDbfs = -115;
constexpr const char* kNotQuiet = "That was not quiet: something came and went. The two seconds begin again.";
constexpr const char* kDead = "Nothing but silence arrives: wrong input, or muted?";
constexpr double kRingPictureS = 0.08;

std::size_t place(setup::TappedOn on) { return static_cast<std::size_t>(on); }

}  // namespace

TapDesk::TapDesk(const TapBenchSettings& settings, std::unique_ptr<capture::Source> source, Pace::Time start)
    : settings_(settings),
      source_(std::move(source)),
      test_(source_->sample_rate_hz()),
      step_(settings.heeded ? TapStep::room : TapStep::cautions),
      piece_samples_(std::max<std::size_t>(1, static_cast<std::size_t>(kDeskPieceS * source_->sample_rate_hz()))) {
  if (settings.paced) pace_.emplace(source_->sample_rate_hz(), start);
  sound_.resize(static_cast<std::size_t>(kDeskStepS * source_->sample_rate_hz()));
  read_kept();
}

void TapDesk::read_kept() {
  for (auto& modes : kept_) modes.clear();
  if (settings_.file.empty() || !std::filesystem::exists(settings_.file)) return;
  try {
    for (const auto& mode : setup::load_taps(settings_.file)) kept_[place(mode.on)].push_back(mode);
  } catch (const std::exception& failure) {
    news_ = failure.what();
  }
}

void TapDesk::begin(TapStep step) {
  test_.reset();
  findings_ = {};
  ring_.clear();
  taps_in_modes_ = 0;
  next_look_s_ = 0;
  step_ = step;
}

void TapDesk::apply(const TapCommand& command) {
  news_.clear();
  if (std::holds_alternative<StartTaps>(command)) {
    if (step_ == TapStep::cautions) begin(TapStep::room);
  } else if (const auto* on = std::get_if<TapOn>(&command)) {
    // Somebody reaches in again: is the spindle still locked out?
    if (settings_.on != on->on && !settings_.heeded) begin(TapStep::cautions);
    settings_.on = on->on;
    if (step_ != TapStep::cautions) begin(TapStep::room);
  } else if (std::holds_alternative<TapAgain>(command)) {
    if (step_ != TapStep::cautions) begin(TapStep::room);
  } else if (const auto* flutes = std::get_if<TapFlutes>(&command)) {
    settings_.flutes = std::clamp(flutes->flutes, 1, 64);
  } else {
    keep();
  }
}

void TapDesk::keep() {
  if (findings_.modes.empty()) {
    news_ = "There is no mode to keep yet.";
    return;
  }
  if (settings_.file.empty()) {
    news_ = "No set-up file was given to keep them in.";
    return;
  }
  std::vector<setup::TappedMode> modes;
  for (const auto& mode : findings_.modes)
    modes.push_back({settings_.on, mode.natural_hz, mode.damping_ratio, mode.natural_hz_spread,
                     mode.damping_ratio_spread, mode.taps_agreeing});
  try {
    setup::save_taps(settings_.file, settings_.on, modes);
    news_ = "Kept for the " + std::string(setup::word(settings_.on)) + " in " + settings_.file.string();
  } catch (const std::exception& failure) {
    news_ = failure.what();
  }
  read_kept();
}

bool TapDesk::step(Pace::Time now) {
  std::size_t most = sound_.size();
  if (pace_) {
    if (step_ == TapStep::cautions) {  // the recording waits until the person is ready
      pace_.emplace(source_->sample_rate_hz(), now);
      return false;
    }
    most = std::min(most, pace_->due(now));
  }
  if (most == 0) return false;
  const std::size_t heard = source_->read(std::span(sound_).first(most));
  if (pace_) pace_->took(most);
  if (heard > 0)
    hear(std::span<const float>(sound_).first(heard));
  else if (source_->ended() && findings_.tap_s.size() > taps_in_modes_)
    find_modes();
  return heard > 0;
}

void TapDesk::hear(std::span<const float> sound) {
  if (step_ == TapStep::done) return;  // sound and marks stand still together
  for (const float sample : sound) {
    square_ += static_cast<double>(sample) * static_cast<double>(sample);
    if (++in_piece_ < piece_samples_) continue;
    loudness_dbfs_.push_back(
        static_cast<float>(10 * std::log10(std::max(1e-12, 2 * square_ / static_cast<double>(in_piece_)))));
    if (loudness_dbfs_.size() > kPieces) loudness_dbfs_.pop_front();
    square_ = 0;
    in_piece_ = 0;
  }
  if (step_ == TapStep::cautions) return;
  test_.process(sound);
  if (step_ == TapStep::room && test_.heard_s() >= kRoomS) end_room();
  if (test_.heard_s() < next_look_s_) return;
  next_look_s_ =
      test_.heard_s() + kLookEveryS + kLookShare * test_.heard_s();  // a longer sound takes longer to look through
  count_taps();
}

/// A recording cannot be asked for another two seconds: there it is only said.
void TapDesk::end_room() {
  const auto pieces = std::min(loudness_dbfs_.size(), static_cast<std::size_t>(kRoomS / kDeskPieceS));
  std::vector<float> room(loudness_dbfs_.end() - static_cast<std::ptrdiff_t>(pieces), loudness_dbfs_.end());
  std::sort(room.begin(), room.end());
  const bool dead = room.empty() || static_cast<double>(room.back()) < kDeadDbfs;
  const bool unquiet = !dead && static_cast<double>(room[room.size() * 49 / 50] - room[room.size() / 4]) > kUnquietDb;
  if (dead || unquiet)
    news_ = dead ? kDead : kNotQuiet;
  else if (news_ == kDead || news_ == kNotQuiet)
    news_.clear();
  if ((dead || unquiet) && !settings_.paced)
    begin(TapStep::room);
  else
    step_ = TapStep::tapping;
}

void TapDesk::count_taps() {
  auto now = test_.taps();
  if (now.tap_s.empty() && now.rejected.size() != findings_.rejected.size()) {  // what was wrong with them is known at once
    findings_ = test_.findings();
    return;
  }
  now.modes = findings_.modes;
  now.warnings = findings_.warnings;
  now.room_tones_hz = findings_.room_tones_hz;
  const bool rung_out = !now.tap_s.empty() && test_.heard_s() > now.tap_s.back() + kRingOutS;
  const bool more = now.tap_s.size() != taps_in_modes_;
  findings_ = std::move(now);
  if (!findings_.tap_s.empty()) {
    const auto ring = test_.ring(findings_.tap_s.back() - 0.002, kRingPictureS);
    ring_.assign(ring.begin(), ring.end());
    float top = 1e-9F;
    for (const float sample : ring_) top = std::max(top, std::abs(sample));
    for (float& sample : ring_) sample /= top;
  }
  if (more && rung_out) find_modes();
}

void TapDesk::find_modes() {
  findings_ = test_.findings();
  taps_in_modes_ = findings_.tap_s.size();
  if (taps_in_modes_ >= kEnough) step_ = TapStep::done;
}

void TapDesk::fill(TapState& state) const {
  state.step = step_;
  state.on = settings_.on;
  state.flutes = settings_.flutes;
  state.heard_s = test_.heard_s();
  state.room_s = std::min(kRoomS, test_.heard_s());
  state.findings = findings_;
  state.taps_in_modes = static_cast<int>(taps_in_modes_);
  state.picture_s = kDeskPieceS * static_cast<double>(kPieces);
  state.loudness_dbfs.assign(loudness_dbfs_.begin(), loudness_dbfs_.end());
  state.ring = ring_;
  state.kept = kept_;
  state.file = settings_.file.string();
  state.source = source_->name();
  state.news = news_;
  state.trouble = source_->trouble();
  state.running = !source_->ended();
}

}  // namespace hushmill::live
