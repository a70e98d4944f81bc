// What a screen may ask of the running instrument. Values, pushed through a ring; nobody waits for anybody.
#pragma once

#include <algorithm>
#include <array>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <variant>

#include "advise/advice.hpp"
#include "live/cut_card.hpp"
#include "live/keeping.hpp"
#include "rig/rig.hpp"
#include "trial/place.hpp"

namespace hushmill::live {

/// The person changed the cut card. A change of speed or flutes reaches the listener between two hops.
struct ChangeCard { CutCard card; };
/// The knobs of the simulated machine; ignored when the source is not the rig.
struct TurnRig { rig::RigControls controls; };
/// Let the rig be heard through the speakers, 0 (silent) to 1.
struct HearRig { double volume = 0; };

/// Begin the guided check of the microphone anew, or leave it.
struct CheckMicrophone { bool on = true; };

/// The person marks a place of the path: from mark to mark is a whole lap or pass.
struct MarkPass {};
/// From now on this kind of place is cut; none: nothing is said of it.
struct TagPlace { std::optional<trial::Place> place; };
/// The cut was changed in a way that the card does not tell: what was tried before says nothing of it.
struct AnotherCut {};
/// Another tool of the job, or a cut from a file, was taken up: said in the journal and on the screen; its card comes by itself. What
/// was tried before says nothing of it.
class TakeUp {
 public:
  enum class What { tool, setup };
  TakeUp() = default;
  /// What is too long is cut off: commands cross to the listening thread without memory of their own.
  TakeUp(What what, std::string_view words) noexcept : what_(what) {
    std::copy_n(words.begin(), std::min(words.size(), words_.size() - 1), words_.begin());
  }
  const char* kind() const noexcept { return what_ == What::tool ? "tool" : "setup"; }
  /// "T3 End mill 12 mm".
  std::string words() const { return words_.data(); }

 private:
  What what_ = What::tool;
  std::array<char, 120> words_{};
};
/// These speeds were tried on this cut before, in another session: the adviser takes them as tried, in the place of such that it had.
class TakeTried {
 public:
  static constexpr std::size_t kMost = 16;
  TakeTried() = default;
  /// What are too many are left out: commands cross without memory of their own.
  explicit TakeTried(std::span<const advise::Trial> trials) noexcept : count_(std::min(trials.size(), kMost)) {
    std::copy_n(trials.begin(), count_, trials_.begin());
  }
  std::span<const advise::Trial> trials() const noexcept { return std::span(trials_).first(count_); }

 private:
  std::array<advise::Trial, kMost> trials_{};
  std::size_t count_ = 0;
};
/// Listening rests: a microphone is read and not listened to, the simulated machine stands still, time does not pass. So that a
/// replay that is heard is not heard by the microphone as a cut. With `device_too` the microphone is given up meanwhile, for a screen
/// that listens itself.
struct PauseListening {
  bool on = true;
  bool device_too = false;
};
/// What the sound says of speed and flutes is right, not the card: the card becomes so. Ignored while it says nothing.
struct TakeHeard {};

/// Of a recording: so much sound was lost here when it was made.
struct MissSound { double lost_s = 0; };

/// What is kept of the sound, see keeping.hpp; ignored where nothing is kept.
using Command = std::variant<ChangeCard, TurnRig, HearRig, CheckMicrophone, KeepMinute, HoldMinute, RecordSession, DropSound,
                             MarkPass, TagPlace, TakeHeard, AnotherCut, TakeUp, TakeTried, PauseListening, MissSound>;

}  // namespace hushmill::live
