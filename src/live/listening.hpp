// What the listening thread does, without the thread: read the source, feed the listener, keep the advice, fill a
// state.
//
// The caller brings the time. Members stand in the order in which the sound passes them. [listening thread, all of it]
#pragma once

#include <chrono>
#include <cstdint>
#include <deque>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "capture/loudspeaker.hpp"
#include "capture/rig_source.hpp"
#include "capture/source.hpp"
#include "listen/listener.hpp"
#include "listen/microphone_check.hpp"
#include "live/advice_keeper.hpp"
#include "live/command.hpp"
#include "live/keeper.hpp"
#include "live/live.hpp"
#include "live/log.hpp"
#include "live/pace.hpp"
#include "live/state.hpp"
#include "trial/trial_book.hpp"

namespace hushmill::live {

class Listening {
 public:
  using Time = std::chrono::steady_clock::time_point;

  /// Throws std::invalid_argument for a bad card.
  Listening(const LiveSettings& settings, std::unique_ptr<capture::Source> source, Time start);
  /// Tells the keeper, if there is one, how the session ended.
  ~Listening();
  Listening(const Listening&) = delete;
  Listening& operator=(const Listening&) = delete;

  /// Takes effect before the next sample. A bad card is not taken; the state goes on showing the one that is in force.
  void apply(const Command& command);
  /// Hears what is due at `now`, at most a tenth of a second of it. True when there was more than that.
  bool step(Time now);
  /// Fills all of `state`. Its peak is the largest since the state before, or, when nobody took that one
  /// (`last_was_taken` false), since the last that was taken.
  void fill(State& state, bool last_was_taken);
  /// Takes an answer of the adviser that has come meanwhile; true while one is still on its way. For whoever drives this faster than
  /// sound and wants each moment's advice with it.
  bool await_advice();
  /// All that was heard so far.
  const listen::Findings& findings() const noexcept { return listener_.findings(); }
  /// Something failed for good: listening is over, and the state says why.
  void give_up(const std::string& why);

 private:
  std::size_t due(Time now);
  void enter_planned();
  std::size_t until_planned(std::size_t samples) const;
  void hear(std::span<const float> samples);
  void keep_events();
  void note_holes(double closed_s);
  void heed_gap(const LostSound& lost);
  void keep_gap(const capture::Gap& gap);
  void end();
  void watch_source(Time now);
  void log_event(const listen::Event& event);
  void change_card(const CutCard& card);
  void turn_rig(const rig::RigControls& controls);
  void hear_rig(double volume);
  void check_microphone(bool on);
  void take_keeping();
  void keep_advice(bool last);
  void keep_end();
  void keep_trials();
  void keep_progress();
  void begin_another_cut();
  void take_heard();
  void note_doubt();
  std::optional<listen::OtherFit> heard_instead() const { return trials_.heard_instead(listener_.findings()); }
  void keep_mark(const char* kind, const std::string& text = {});
  void pause(bool on);
  void heed_door();
  std::string trouble() const;

  /// Which advice the journal has: told again when another speed is advised.
  struct AdviceKept {
    std::uint64_t episode = 0;
    double lower_rpm = 0, higher_rpm = 0, t_s = 0;
  };

  SourceKind kind_;
  std::shared_ptr<Log> log_;
  std::shared_ptr<Keeper> keeper_;
  CutCard card_;
  std::optional<std::pair<CutCard, double>> slip_;  // the card before the last change of set-up, and when
  std::unique_ptr<capture::Source> source_;
  capture::RigSource* rig_ = nullptr;  // the source, if it is the rig
  std::optional<Pace> pace_;           // of a source that does not keep the time itself
  std::vector<float> samples_;
  std::unique_ptr<capture::Loudspeaker> loudspeaker_;
  listen::Listener listener_;
  trial::TrialBook trials_;
  std::deque<EnteredLater> entered_later_;  // speeds that are still to be entered, each at its own sample
  std::optional<double> doubted_since_s_;  // another speed or flute count fits the sound
  AdviceKeeper advice_;
  std::optional<listen::MicrophoneCheck> check_;

  std::deque<listen::Event> events_;     // the last ones
  std::optional<double> new_peak_dbfs_;  // of the hops since the last state
  double untaken_peak_dbfs_ = -200;      // of the states that nobody took
  double noted_hole_s_ = -1;             // the last hole of the recordings that the journal has
  std::deque<LostSound> lost_;           // the last ones
  KeepingState keeping_;
  AdviceKept advice_kept_;
  std::size_t trials_kept_ = 0;  // ended ones that the journal has
  double set_up_since_s_ = 0;    // when the cut itself was last changed
  double progress_s_ = 0;  // when the journal was last told how far it has come
  bool end_is_kept_ = false;
  bool paused_ = false;
  std::string taken_up_;  // the tool or cut, in words
  std::uint64_t heard_ = 0;  // samples
  bool running_ = true;
  bool over_ = false;  // the listener is finished
  Time next_reopen_{};
  std::string loudspeaker_trouble_;
  std::string given_up_because_;
};

}  // namespace hushmill::live
