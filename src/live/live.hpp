// The running instrument: a thread that reads a source, feeds the listener, asks the adviser and hands out states.
//
// Reads like the way of the sound: source, listener, adviser, state. The thread that owns the Live object sends
// commands and polls states; it never waits for the listening thread, and the listening thread never waits for it.
#pragma once

#include <memory>
#include <vector>

#include "capture/source.hpp"
#include "live/command.hpp"
#include "live/state.hpp"
#include "trial/trial.hpp"

namespace hushmill::live {

class Keeper;
class Log;

/// A speed that is entered at a moment of the sound, known beforehand.
struct EnteredLater {
  double at_s = 0;
  double spindle_rpm = 0;
};

struct LiveSettings {
  CutCard card{};
  SourceKind kind = SourceKind::rig;
  double states_per_s = 40;    ///< how often a new state is offered, 1 to 200
  bool real_time = true;       ///< rig and recording at the speed of real sound; false: as fast as they go
  std::shared_ptr<Log> log{};  ///< what happened is written there; none: nowhere
  std::shared_ptr<Keeper> keeper{};  ///< sound and events are handed to it; none: nothing is kept
  /// Live, a speed has held only after a lap or pass that the person marked.
  trial::Rules rules{.hold_s = 3, .settle_s = 1, .pass_needed = true};
  std::vector<trial::Tag> tags{};  ///< what is cut when, where it is known beforehand
  std::vector<advise::Trial> tried{};  ///< speeds tried before on this set-up, for the adviser
  std::vector<EnteredLater> entered_later{};  ///< in order of time; each is entered before its very sample
};

class Live {
 public:
  /// Starts the listening thread. Throws std::invalid_argument for a bad card or state rate.
  Live(const LiveSettings& settings, std::unique_ptr<capture::Source> source);
  /// Stops the thread and closes the source.
  ~Live();
  Live(const Live&) = delete;
  Live& operator=(const Live&) = delete;

  /// Hands a command over; false when 64 are already waiting. [any one thread]
  bool send(const Command& command);
  /// Replaces `state` by the newest one; false when there is none newer. A state that was never polled is overtaken,
  /// but its peak and its events are in the next. [the thread that polls]
  bool poll(State& state);

 private:
  struct Parts;
  std::unique_ptr<Parts> parts_;
};

}  // namespace hushmill::live
