#include "listen/microphone_check.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "signal/decibel.hpp"
#include "text/within.hpp"

namespace hushmill::listen {

namespace {
constexpr double kCheckFrameS = 0.02;
constexpr double kQuietAfterS = 3;
constexpr double kClapRatio = 100;       // 20 dB over the room
constexpr double kClapFallRatio = 10;    // and 10 dB down again
constexpr double kClapFallS = 0.3;       // within this
constexpr double kClapBeforeRatio = 10;  // the frame before it was quieter by as much
constexpr double kLeastClapPower = 2 * kPowerOfMinus70Dbfs * 10;
constexpr double kEatenDb = -10;       // a tone that falls by so much is being taken out
constexpr double kTurnedDb = 3;        // by so much: its gain is being turned
constexpr double kLeastTrialS = 1.0;   // of a tone, before a steady level means anything
constexpr double kSameRatio = 0.0015;  // a device keeps its rate better than that; a whistle seldom meets it

// Rates that are taken for one another.
constexpr std::array<double, 7> kRates{48000, 44100, 32000, 22050, 16000, 96000, 24000};

bool is_ratio_of_rates(double ratio) {
  for (const double made : kRates)
    for (const double stated : kRates)
      if (made != stated && std::abs(ratio * made / stated - 1) < kSameRatio) return true;
  return false;
}
}  // namespace

std::string_view word(CheckStage stage) noexcept {
  switch (stage) {
    case CheckStage::room:
      return "room";
    case CheckStage::sounds:
      return "sounds";
    case CheckStage::quiet_after:
      return "quiet_after";
    case CheckStage::over:
      return "over";
  }
  return "over";
}

std::string_view word(CheckResult result) noexcept {
  switch (result) {
    case CheckResult::open:
      return "open";
    case CheckResult::pass:
      return "pass";
    case CheckResult::fault:
      return "fault";
    case CheckResult::unfinished:
      return "unfinished";
  }
  return "open";
}

MicrophoneCheck::MicrophoneCheck(const CheckSettings& settings)
    : settings_((text::within("sample rate (Hz)", settings.sample_rate_hz, 16000, 192000),
                 text::within("tone (Hz)", settings.tone_hz, 200, 5000), settings)),
      truth_(settings.sample_rate_hz),
      trial_(settings.sample_rate_hz),
      frame_samples_(static_cast<std::size_t>(std::lround(kCheckFrameS * settings.sample_rate_hz))),
      filled_(trial_.needed_samples()) {
  newest_.assign(trial_.needed_samples() + frame_samples_, 0.0F);
  room_powers_.reserve(static_cast<std::size_t>(kRoomS / kCheckFrameS) + 8);
}

void MicrophoneCheck::process(std::span<const float> samples) {
  for (const float raw : samples) {
    if (over()) return;
    const float x = level_.process(raw);
    truth_.push(raw);
    ++sample_;
    newest_[filled_++] = x;
    frame_sum_ += static_cast<double>(x) * static_cast<double>(x);
    if (filled_ == newest_.size()) run_frame();
  }
}

void MicrophoneCheck::enter(CheckStage stage) noexcept {
  stage_ = stage;
  stage_from_s_ = now_s();
}

void MicrophoneCheck::run_frame() {
  ++frames_;
  const double power = 2 * frame_sum_ / static_cast<double>(frame_samples_);
  frame_sum_ = 0;
  tenth_sum_ += power;
  std::copy(newest_.end() - static_cast<std::ptrdiff_t>(trial_.needed_samples()), newest_.end(), newest_.begin());
  filled_ = trial_.needed_samples();
  const bool tenth = frames_ % 5 == 0;
  if (tenth) {
    tenth_ = tenth_sum_ / 5;
    tenth_sum_ = 0;
  }
  loudest_ = std::max(loudest_, power);

  if (stage_ == CheckStage::room) {
    room_powers_.push_back(power);
    if (now_s() >= kRoomS) {
      // The median: a cough in the room stage is not the room.
      const auto middle = room_powers_.begin() + static_cast<std::ptrdiff_t>(room_powers_.size() / 2);
      std::nth_element(room_powers_.begin(), middle, room_powers_.end());
      room_power_ = std::max(*middle, 1e-12);
      enter(CheckStage::sounds);
    }
    return;
  }
  follow_claps(power);
  if (tenth) trial_.process(std::span<const float>(newest_).first(trial_.needed_samples()), now_s(), room_power_);
  const auto& tone = trial_.tone();
  if (stage_ == CheckStage::sounds && tone && tone->lasted_s >= kToneS && !tone->goes_on)
    enter(CheckStage::quiet_after);
  if (stage_ == CheckStage::quiet_after && now_s() - stage_from_s_ >= kQuietAfterS) finish();
  if (now_s() >= settings_.longest_s) finish();
}

void MicrophoneCheck::follow_claps(double power) noexcept {
  if (clap_s_ >= 0) {
    clap_power_ = std::max(clap_power_, power);
    if (now_s() - clap_s_ > kClapFallS) {
      clap_s_ = -1;  // it went on: no clap
    } else if (power * kClapFallRatio < clap_power_) {
      ++claps_;
      clap_s_ = -1;
    }
  } else if (power > std::max(kClapRatio * room_power_, kLeastClapPower) && power > kClapBeforeRatio * power_before_) {
    clap_s_ = now_s();
    clap_power_ = power;
  }
  power_before_ = power;
}

void MicrophoneCheck::note(Warning fault) {
  for (auto& noted : noted_)
    if (noted.code == fault) {
      noted.until_s = now_s();
      return;
    }
  noted_.push_back({fault, now_s(), now_s(), 0});
}

void MicrophoneCheck::finish() {
  at_end_ = true;
  enter(CheckStage::over);
}

void MicrophoneCheck::judge_tone(std::vector<MicrophoneFinding>& faults) const {
  const auto& tone = trial_.tone();
  if (!tone) return;
  const auto add = [&](Warning code, double value) {
    if (std::any_of(faults.begin(), faults.end(), [&](const auto& fault) { return fault.code == code; })) return;
    faults.push_back({code, tone->start_s, tone->start_s + tone->lasted_s, value});
  };
  const double ratio = tone->hz / settings_.tone_hz;
  if (std::abs(ratio - 1) > kSameRatio && is_ratio_of_rates(ratio)) add(Warning::rate_mismatch, tone->hz);
  // A tone that was asked for and is gone before its time was taken out, whether it faded or broke off.
  const bool broke_off = !tone->goes_on && tone->lasted_s < 0.8 * kToneS;
  if (tone->change_db <= kEatenDb || broke_off) {
    add(Warning::noise_suppression, tone->change_db);
  } else if (tone->lasted_s >= kLeastTrialS && std::abs(tone->change_db) >= kTurnedDb) {
    add(Warning::automatic_gain, tone->change_db);
  }
}

CheckState MicrophoneCheck::state() const {
  CheckState state;
  state.stage = stage_;
  state.heard_s = now_s();
  state.stage_s = now_s() - stage_from_s_;
  state.room_dbfs = signal::power_db(room_power_);
  state.level_dbfs = signal::power_db(tenth_);
  state.loudest_dbfs = signal::power_db(loudest_);
  state.claps = claps_;
  state.tone = trial_.tone();
  state.tone_tried = state.tone && state.tone->lasted_s >= 0.8 * kToneS;
  state.faults = noted_;
  for (const auto& finding : truth_.findings(at_end_))
    if (std::none_of(state.faults.begin(), state.faults.end(),
                     [&](const auto& other) { return other.code == finding.code; }))
      state.faults.push_back(finding);
  const auto add_plain = [&](Warning code, double value) {
    if (std::none_of(state.faults.begin(), state.faults.end(), [&](const auto& other) { return other.code == code; }))
      state.faults.push_back({code, 0, now_s(), value});
  };
  if (level_.bad_samples() > 0) add_plain(Warning::bad_samples, static_cast<double>(level_.bad_samples()));
  if (level_.clipped_samples() > 0) add_plain(Warning::clipped, static_cast<double>(level_.clipped_samples()));
  // A tone says nothing of a microphone that was dead for a part of it.
  const bool dead = std::any_of(state.faults.begin(), state.faults.end(),
                                [](const auto& fault) { return fault.code == Warning::silent; });
  if (at_end_ && !dead) judge_tone(state.faults);
  if (!over()) return state;
  // A tone without a clap may be a machine's.
  state.result = !state.faults.empty() ? CheckResult::fault : state.claps > 0 ? CheckResult::pass : CheckResult::unfinished;
  return state;
}

}  // namespace hushmill::listen
