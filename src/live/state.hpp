// All that a screen knows of the running instrument at one moment. Copied across threads, never shared.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "advise/advice.hpp"
#include "listen/findings.hpp"
#include "listen/microphone_check.hpp"
#include "listen/snapshot.hpp"
#include "live/cut_card.hpp"
#include "live/keeping.hpp"
#include "rig/rig.hpp"
#include "trial/trial.hpp"

namespace hushmill::live {

enum class SourceKind { microphone, recording, rig };

/// The door the sound comes through.
struct SourceState {
  SourceKind kind = SourceKind::rig;
  std::string name;
  double sample_rate_hz = 0;
  std::uint64_t lost_samples = 0;
  bool running = false;  ///< false: ended, or the device is gone
  std::string trouble;   ///< one plain line when something is wrong, else empty
};

/// Where sound was lost on its way.
struct LostSound {
  double t_s = 0;     ///< it lies just before this time of the sound
  double lost_s = 0;  ///< how long it is, at least
};

struct State {
  listen::Snapshot snapshot;
  std::vector<listen::Event> events;      ///< the last 64 events, oldest first
  std::vector<listen::Episode> episodes;  ///< the last 32 episodes, oldest first
  std::uint64_t episode_count = 0;        ///< all episodes since the start
  std::vector<listen::Warning> warnings;
  std::optional<listen::OtherFit> other_fit;  ///< what explains the sound far better than what was entered
  std::vector<LostSound> lost;  ///< the last 32 gaps in the sound, oldest first
  std::vector<trial::Trial> trials;  ///< the last 32, oldest first; the last one is running while there is sound
  std::uint64_t trials_before = 0;   ///< earlier ones that are not among them
  std::optional<double> marked_s;    ///< when the latest lap or pass was begun or ended by a mark
  std::optional<trial::Place> place; ///< what is being cut, as the person said it
  advise::Advice advice;        ///< for the latest episode
  bool advice_ready = false;
  std::vector<advise::Trial> tried;  ///< on this cut in an earlier session, as far as the adviser takes them into account
  CutCard card;
  std::string taken_up;         ///< the tool of the job or the cut from a file that was taken up last
  bool paused = false;          ///< the person has let listening rest, for a replay
  SourceState source;
  std::optional<listen::CheckState> check;  ///< set while the guided check of the microphone is shown
  std::optional<KeepingState> keeping;  ///< set when a keeper was given
  std::optional<rig::RigControls> rig;  ///< set when the source is the rig
};

}  // namespace hushmill::live
