#include "live/advice_keeper.hpp"

#include <cmath>

#include "live/card_question.hpp"

namespace hushmill::live {
namespace {

constexpr double kMoved = 1.0 / 300;
constexpr double kSameSpeed = 0.01;  // a measured speed wanders by less than that; a turn of the knob is more
constexpr double kAskEveryS = 0.25;
constexpr double kSettleS = 1.0;  // a spindle follows its override within about a second

bool moved(double before, double now) { return std::abs(now - before) > kMoved * before; }

double speed_now(const listen::Snapshot& snapshot) { return snapshot.measured_rpm.value_or(snapshot.entered_rpm); }

}  // namespace

void AdviceKeeper::change_card(const CutCard& before, const CutCard& after, double t_s) {
  card_is_new_ = true;
  if (before.entered_rpm() != after.entered_rpm()) look_again_s_ = t_s + kSettleS;
}

void AdviceKeeper::follow_episode(const listen::Episode& episode, const listen::Snapshot& snapshot) {
  if (!episode.open) return;
  chatter_hz_ = snapshot.chatter ? snapshot.chatter->chatter_hz : episode.chatter_hz;
  if (look_again_s_) {
    if (snapshot.t_s < *look_again_s_) return;
    look_again_s_.reset();
    spindle_rpm_ = speed_now(snapshot);
  } else if (snapshot.measured_rpm && std::abs(*snapshot.measured_rpm - spindle_rpm_) < kSameSpeed * spindle_rpm_) {
    spindle_rpm_ = *snapshot.measured_rpm;
  }
}

void AdviceKeeper::process(const listen::Snapshot& snapshot, const listen::Findings& findings, const CutCard& card) {
  AdviceDesk::Answer answer;
  if (desk_.take(answer) && answer.question >= first_of_episode_) {
    advice_ = std::move(answer.advice);
    ready_ = true;
  }
  if (findings.episodes.empty()) return;

  const listen::Episode& episode = findings.episodes.back();
  const bool is_new = findings.episodes.size() != episodes_;
  if (is_new) {
    episodes_ = findings.episodes.size();
    advice_ = {};
    ready_ = false;
    first_of_episode_ = asked_ + 1;
    chatter_hz_ = episode.chatter_hz;
    spindle_rpm_ = speed_now(snapshot);
    look_again_s_.reset();
  }
  follow_episode(episode, snapshot);

  const bool drifted = snapshot.t_s - last_s_ >= kAskEveryS &&
                       (moved(last_.chatter_hz, chatter_hz_) || moved(last_.spindle_rpm, spindle_rpm_));
  if (!is_new && !card_is_new_ && !drifted) return;
  last_ = question_for(card, chatter_hz_, spindle_rpm_);
  if (episode.growth_per_s > 0) last_.growth_per_s = episode.growth_per_s;
  asked_ = desk_.ask(last_);
  last_s_ = snapshot.t_s;
  card_is_new_ = false;
}

}  // namespace hushmill::live
