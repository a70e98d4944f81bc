#include "lessons/ear.hpp"

#include <algorithm>

#include "lessons/lesson.hpp"

namespace hushmill::lessons {
namespace {

constexpr std::size_t kEarPiece = 256;  // one hop or less of the engine
constexpr double kChattersAfterS = 0.3;
constexpr double kQuietAfterS = 2.0;

}  // namespace

Ear::Ear(double spindle_rpm, int flutes, int pattern_teeth)
    : listener_({kSampleRateHz, spindle_rpm, pattern_teeth > 1 ? flutes / pattern_teeth : flutes, pattern_teeth}) {}

void Ear::process(std::span<const float> sound) {
  while (!sound.empty()) {
    const auto piece = sound.first(std::min(sound.size(), kEarPiece));
    listener_.process(piece);
    sound = sound.subspan(piece.size());
    const auto& now = listener_.snapshot();
    const double passed_s = now.t_s - last_s_;
    last_s_ = now.t_s;
    if (now.t_s < counts_from_s_) continue;
    if (now.verdict == listen::Verdict::chatter) chatter_s_ += passed_s;
    if (now.verdict == listen::Verdict::steady || now.verdict == listen::Verdict::forced_vibration)
      quiet_s_ += passed_s;
  }
}

void Ear::begin(double settle_s) {
  counts_from_s_ = last_s_ + settle_s;
  quiet_s_ = chatter_s_ = 0;
}

Outcome Ear::outcome() const noexcept {
  if (chatter_s_ >= kChattersAfterS) return Outcome::chatters;
  return quiet_s_ >= kQuietAfterS && chatter_s_ == 0 ? Outcome::quiet : Outcome::open;
}

Heard Ear::heard() const {
  const auto& now = listener_.snapshot();
  Heard heard;
  heard.verdict = now.verdict;
  if (now.chatter && now.verdict == listen::Verdict::chatter) heard.chatter_hz = now.chatter->chatter_hz;
  heard.episodes = static_cast<int>(listener_.findings().episodes.size());
  heard.quiet_s = quiet_s_;
  heard.chatter_s = chatter_s_;
  heard.tooth_passing_hz = now.tooth_passing_hz;
  heard.level_dbfs = now.level_dbfs;
  return heard;
}

}  // namespace hushmill::lessons
