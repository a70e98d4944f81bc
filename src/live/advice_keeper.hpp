// Keeps the advice for the latest episode of chatter: asks when something that matters has changed, off the listening
// path, and shows the earlier answer until a better one is there. A new episode begins without advice.
//
// Asked again when the card changed, when tone or speed moved by more than a third of a percent (at most four times
// a second of sound), and once more with the final figures when the episode or the sound has ended, so that it says
// what a review of the same sound says. Speeds tried before in the session, on the same set-up, go with the question.
// While the sound contradicts the entered speed or flute count there is no advice, only the reason why.
// The speed that counts is the one at which it chattered, not the one that was chosen afterwards.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <utility>
#include <vector>

#include "advise/advice.hpp"
#include "listen/findings.hpp"
#include "listen/snapshot.hpp"
#include "live/advice_desk.hpp"
#include "live/advice_memory.hpp"
#include "live/cut_card.hpp"

namespace hushmill::live {

/// True when what was tried on the one card says nothing of the other: another tool, depth or width.
bool another_set_up(const CutCard& a, const CutCard& b);

class AdviceKeeper {
 public:
  /// `before`: speeds tried on this set-up before the sound began.
  explicit AdviceKeeper(AdviceDesk::Adviser adviser = &advise::advise, std::vector<advise::Trial> before = {})
      : desk_(std::move(adviser)), before_(std::move(before)) {}

  /// Takes answers and asks questions; call after every hop. Never waits. `heard`: what the sound fits instead of the
  /// card, if it does; there is no advice then.
  void process(const listen::Snapshot& snapshot, const listen::Findings& findings, const CutCard& card,
               const std::optional<listen::OtherFit>& heard);
  /// Tells that the card was changed, before the next process(). `t_s` is the time of the sound; `taken_back`: the set-up of before
  /// the last change is there again, and what was tried on it counts.
  void change_card(const CutCard& before, const CutCard& after, double t_s, bool taken_back = false);
  /// The cut itself was changed (depth, width, tool): what was tried before says nothing of it. `t_s` as above.
  void forget_trials(double t_s) {
    forgotten_ = {tried_since_s_, before_};
    tried_since_s_ = t_s;
    before_.clear();
    memory_.clear();
    leaning_.reset();
  }

  /// It was a slip that was taken back: what was forgotten last counts again.
  void recall_trials() {
    tried_since_s_ = forgotten_.first;
    before_ = forgotten_.second;
    memory_.clear();
    leaning_.reset();
    card_is_new_ = true;
  }
  /// What was tried before the sound began, in the place of what was known of it.
  void take_tried(std::span<const advise::Trial> before) {
    before_.assign(before.begin(), before.end());
    memory_.clear();
    card_is_new_ = true;
  }
  const std::vector<advise::Trial>& tried_before() const noexcept { return before_; }

  /// For the latest episode; empty until ready().
  const advise::Advice& advice() const noexcept { return advice_; }
  bool ready() const noexcept { return ready_; }
  /// The newest question is still without an answer.
  bool waiting() const noexcept { return answered_ < asked_; }

 private:
  void begin_episode(const listen::Episode& episode, const listen::Snapshot& snapshot);
  void follow_episode(const listen::Episode& episode, const listen::Snapshot& snapshot, const listen::Findings& findings);
  bool hold_back(const std::optional<listen::OtherFit>& heard);
  bool take_final(const listen::Episode& episode, const listen::Findings& findings);
  void note_speed(const listen::Snapshot& snapshot);
  void take_answer();
  bool give_again(const listen::Episode& episode, const advise::Question& question);

  AdviceDesk desk_;
  std::vector<advise::Trial> before_;
  AdviceMemory memory_;
  advise::Advice advice_;
  bool ready_ = false;

  std::size_t episodes_ = 0;
  std::uint64_t asked_ = 0, answered_ = 0;
  std::uint64_t first_of_episode_ = 1;  // older answers are for older episodes
  double chatter_hz_ = 0;
  double entered_rpm_ = 0;              // at which it chattered
  double true_rpm_ = 0;                 // the same, measured where it can be
  std::optional<double> look_again_s_;  // the speed was changed while it chattered: which one is it now?
  bool card_is_new_ = false;
  bool held_back_ = false;              // the sound says another speed than the card
  double tried_since_s_ = 0;
  std::pair<double, std::vector<advise::Trial>> forgotten_;  // since when, and what was known from before
  // The direction named last at that speed: it shall not flip from lap to lap between two that are as good.
  struct Leaning {
    advise::Direction direction = advise::Direction::lower;
    double at_rpm = 0;
  };
  std::optional<Leaning> leaning_;
  advise::Question last_;
  double last_s_ = 0;
};

}  // namespace hushmill::live
