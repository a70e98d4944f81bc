// A recording heard again: the same listener, trials and advice as live, from the first sample on and faster than real
// time, and a place in it that is shown, played, heard and wound.
//
// What the person did live (speeds entered, laps marked, places named) happens again at the very same samples, so the
// verdicts are exactly those of the session; what is changed now makes all of it be heard again from the start. A
// thread of its own does the listening, keeps the film and feeds the loudspeaker; whoever looks takes a copy of one
// moment under a lock that is never held while listening or reading the disk. The listening to a microphone is somebody
// else's and not touched.
#pragma once

#include <cstdint>
#include <filesystem>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "capture/channel.hpp"
#include "live/command.hpp"
#include "live/film.hpp"
#include "live/state.hpp"
#include "trial/trial.hpp"

namespace hushmill::live {

/// Something that the person did, at that time of the recording: ChangeCard, TakeHeard, AnotherCut, MarkPass,
/// TagPlace or TakeTried; or what had happened, MissSound.
struct ReplayStep {
  double t_s = 0;
  Command command;
};

struct ReplaySubject {
  std::string title;                         ///< what the person would call it
  std::vector<std::filesystem::path> files;  ///< one after the other
  CutCard card;                              ///< from the first sample on
  std::vector<ReplayStep> steps;             ///< in order of time
  trial::Rules rules{.hold_s = 3, .settle_s = 1, .pass_needed = false};
  std::vector<advise::Trial> tried{};  ///< before it, on this set-up
  std::string note;  ///< what is to be known of it: it begins in the middle of a session, say
  capture::Channel channel = capture::Channel::mix;  ///< of files with two
};

/// Where the replay stands.
struct ReplayView {
  std::string title, note;
  double at_s = 0;      ///< the moment that is shown
  double length_s = 0;  ///< as the file says, else as far as it was heard
  double heard_s = 0;   ///< listened to up to here; the place never goes beyond it
  bool all_heard = false;
  bool playing = false;
  double speed = 1;
  std::optional<std::pair<double, double>> loop_s;
  bool aloud = false;         ///< through the loudspeaker, as far as the speed allows
  std::uint64_t hearing = 0;  ///< counts up whenever the listening begins anew
  std::string trouble;
};

/// Speeds that can be played at, in order.
std::vector<double> replay_speeds();
/// Faster than this it is not heard.
inline constexpr double kLoudestSpeed = 2;

class Replay {
 public:
  /// Opens the sound and begins to listen. Throws what ReplaySound throws, and std::invalid_argument for a bad card.
  explicit Replay(ReplaySubject subject);
  ~Replay();
  Replay(const Replay&) = delete;
  Replay& operator=(const Replay&) = delete;

  // Each takes effect within a hundredth of a second. [one thread]
  void play(bool on);
  void seek(double t_s);
  void set_speed(double speed);
  /// Between these two over and over; none: no loop. The place is moved into it.
  void set_loop(std::optional<std::pair<double, double>> loop_s);
  void set_aloud(bool on);
  /// ChangeCard: its speed is true for the stretch between two changes of speed in which the place lies, all else of it
  /// for the whole recording. TakeTried: from the start. TakeHeard: what the sound fits at the place is entered at the moment since
  /// which it does, however late in the recording it is agreed to. The others happen at the place. All is heard again from the start.
  void change(const Command& command);

  /// Where it stands, and the moment as a state; false while not one moment was heard yet (the state is left alone).
  bool look(State& state, ReplayView& view) const;
  /// Calls for the moments after that time, oldest first, at most `most` of them; returns the time to go on from. Start
  /// with -1, and again with -1 when `hearing` has changed.
  double moments(double after_s, std::size_t most, const std::function<void(const State&)>& take) const;
  /// The moments between two times, oldest first.
  void between(double from_s, double to_s, const std::function<void(const State&)>& take) const;
  /// All that was found, once everything is heard.
  std::optional<listen::Findings> findings() const;

 private:
  struct Parts;
  std::unique_ptr<Parts> parts_;
};

}  // namespace hushmill::live
