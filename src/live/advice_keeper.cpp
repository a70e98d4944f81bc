#include "live/advice_keeper.hpp"

#include <algorithm>
#include <cmath>

#include "live/card_question.hpp"
#include "live/session_trials.hpp"
#include "live/why_no_advice.hpp"

namespace hushmill::live {
namespace {

constexpr double kMoved = 1.0 / 300;
constexpr double kAskEveryS = 0.25;
constexpr double kSameSpeed = 0.005;  // relative

bool moved(double before, double now) { return std::abs(now - before) > kMoved * before; }

}  // namespace

bool another_set_up(const CutCard& a, const CutCard& b) {
  return a.flutes != b.flutes || a.diameter_mm != b.diameter_mm || a.radial_mm != b.radial_mm ||
         a.depth_mm != b.depth_mm || a.milling != b.milling;
}

void AdviceKeeper::change_card(const CutCard& before, const CutCard& after, double t_s, bool taken_back) {
  card_is_new_ = true;
  if (taken_back)
    recall_trials();
  else if (another_set_up(before, after))
    forget_trials(t_s);
  if (before.entered_rpm() != after.entered_rpm())
    look_again_s_ = t_s + kGoesOnS;
  else
    memory_.clear();
}

void AdviceKeeper::note_speed(const listen::Snapshot& snapshot) {
  entered_rpm_ = snapshot.entered_rpm;
  true_rpm_ = snapshot.measured_rpm.value_or(snapshot.entered_rpm);
}

void AdviceKeeper::begin_episode(const listen::Episode& episode, const listen::Snapshot& snapshot) {
  // Corner after corner the next chatter comes before the answer to the last: at the same speed it is the same question.
  const bool again = episode.return_of && snapshot.entered_rpm == entered_rpm_ && !card_is_new_ && !held_back_;
  if (!again) {
    advice_ = {};
    ready_ = false;
    first_of_episode_ = asked_ + 1;
  }
  chatter_hz_ = episode.chatter_hz;
  note_speed(snapshot);
  look_again_s_.reset();
}

void AdviceKeeper::follow_episode(const listen::Episode& episode, const listen::Snapshot& snapshot, const listen::Findings& findings) {
  if (!episode.open) return;
  // Entered before the machine was turned: it is still the speed before that chatters.
  if (look_again_s_ && !findings.stretches.empty() && findings.stretches.back().arrived_s)
    look_again_s_ = std::max(*look_again_s_, *findings.stretches.back().arrived_s + kGoesOnS);
  chatter_hz_ = snapshot.chatter ? snapshot.chatter->chatter_hz : episode.chatter_hz;
  if (look_again_s_ && snapshot.t_s >= *look_again_s_) {
    look_again_s_.reset();
    note_speed(snapshot);
  } else if (!look_again_s_ && snapshot.entered_rpm == entered_rpm_ && snapshot.measured_rpm) {
    true_rpm_ = *snapshot.measured_rpm;
  }
}

// The final figures of an episode that has ended, or with which the sound ended; false while there are none.
bool AdviceKeeper::take_final(const listen::Episode& episode, const listen::Findings& findings) {
  const listen::SpeedStretch* heard_in = nullptr;
  for (const auto& stretch : findings.stretches)
    if (stretch.from_s <= episode.alert_s) heard_in = &stretch;
  const bool closed = heard_in && heard_in->to_s > heard_in->from_s;
  if (episode.open && !closed) return false;
  if (heard_in && heard_in->entered_rpm != entered_rpm_) return false;  // it went on at another speed, noted since
  chatter_hz_ = episode.chatter_hz;
  if (closed) true_rpm_ = heard_in->measured_rpm.value_or(heard_in->entered_rpm);
  return true;
}

// Chatter that comes back at the same speed with the same tone brings no news: what was said stands.
bool AdviceKeeper::give_again(const listen::Episode& episode, const advise::Question& question) {
  if (!episode.return_of || card_is_new_) return false;
  const advise::Advice* known = memory_.find({question.spindle_rpm, question.chatter_hz, question.tried.size()});
  if (known == nullptr) return false;
  advice_ = *known;
  ready_ = true;
  first_of_episode_ = asked_ + 1;
  answered_ = asked_;
  if (advice_.prefer) leaning_ = Leaning{*advice_.prefer, entered_rpm_};
  return true;
}

void AdviceKeeper::take_answer() {
  AdviceDesk::Answer answer;
  if (!desk_.take(answer)) return;
  answered_ = answer.question;
  if (answer.question < first_of_episode_) return;
  advice_ = std::move(answer.advice);
  ready_ = true;
  if (advice_.prefer) leaning_ = Leaning{*advice_.prefer, entered_rpm_};
  if (answer.question == asked_) memory_.add({last_.spindle_rpm, last_.chatter_hz, last_.tried.size()}, advice_);
  // The plain rule is shown for comparison, so with the tone as it was heard; it is proportional to the tone.
  for (auto* candidate : {&advice_.lower, &advice_.higher}) {
    if (*candidate) (*candidate)->plain_spindle_rpm *= true_rpm_ / entered_rpm_;
  }
}

// True while no advice may be given. Answers that are still on their way then come too late.
bool AdviceKeeper::hold_back(const std::optional<listen::OtherFit>& heard) {
  std::string why = why_no_advice(heard);
  if (why.empty()) {
    if (held_back_) {  // ask anew, as if nothing had been said
      advice_ = {};
      ready_ = false;
      card_is_new_ = true;
    }
    held_back_ = false;
    return false;
  }
  held_back_ = true;
  advice_ = {};
  advice_.reason = std::move(why);
  ready_ = true;
  first_of_episode_ = asked_ + 1;
  return true;
}

void AdviceKeeper::process(const listen::Snapshot& snapshot, const listen::Findings& findings, const CutCard& card,
                           const std::optional<listen::OtherFit>& heard) {
  take_answer();
  if (findings.episodes.empty() || hold_back(heard)) return;

  const listen::Episode& episode = findings.episodes.back();
  const bool is_new = findings.episodes.size() != episodes_;
  episodes_ = findings.episodes.size();
  if (is_new) begin_episode(episode, snapshot);
  follow_episode(episode, snapshot, findings);
  const bool final = take_final(episode, findings);

  advise::Question question = question_for(card, chatter_hz_ * entered_rpm_ / true_rpm_, entered_rpm_);
  if (episode.growth_per_s > 0) question.growth_per_s = episode.growth_per_s;
  const bool drifted = snapshot.t_s - last_s_ >= kAskEveryS &&
                       (moved(last_.chatter_hz, question.chatter_hz) || moved(last_.spindle_rpm, question.spindle_rpm));
  const bool corrected = final && (last_.chatter_hz != question.chatter_hz ||
                                   last_.spindle_rpm != question.spindle_rpm ||
                                   last_.growth_per_s != question.growth_per_s);
  if (!is_new && !card_is_new_ && !drifted && !corrected) return;
  if (leaning_ && leaning_->at_rpm == entered_rpm_) question.leaning = leaning_->direction;
  question.tried = trials_from(findings, tried_since_s_, entered_rpm_);
  for (const advise::Trial& earlier : before_) {  // what was heard since counts more
    const auto same = [&](const advise::Trial& told) { return std::abs(told.spindle_rpm / earlier.spindle_rpm - 1) < kSameSpeed; };
    if (std::abs(entered_rpm_ / earlier.spindle_rpm - 1) >= kSameSpeed && std::none_of(question.tried.begin(), question.tried.end(), same))
      question.tried.push_back(earlier);
  }
  if (give_again(episode, question)) return;
  asked_ = desk_.ask(question);
  last_ = std::move(question);
  last_s_ = snapshot.t_s;
  card_is_new_ = false;
}

}  // namespace hushmill::live
