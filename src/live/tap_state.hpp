// What a screen knows of a running tap test, and what it may ask. Plain values.
#pragma once

#include <array>
#include <string>
#include <variant>
#include <vector>

#include "setup/setup.hpp"
#include "tap/findings.hpp"

namespace hushmill::live {

enum class TapStep {
  cautions,  ///< nothing is listened to yet: the person has not said that the spindle is stopped and locked out
  room,      ///< two seconds of quiet
  tapping,   ///< three to five taps, each left to ring out
  done,      ///< enough taps; modes stand
};

struct TapState {
  TapStep step = TapStep::cautions;
  setup::TappedOn on = setup::TappedOn::tool;
  int flutes = 4;
  double heard_s = 0, room_s = 0;                      ///< quiet heard so far
  tap::Findings findings;                              ///< taps at once, modes once a tap has rung out
  int taps_in_modes = 0;              ///< fewer than were heard while one rings still
  double picture_s = 0;                                ///< so long the two below go back
  std::vector<float> loudness_dbfs;                    ///< of every 20 ms, newest last
  std::vector<float> ring;                             ///< the last tap that counts, 0 to 80 ms, over its own peak
  std::array<std::vector<setup::TappedMode>, 3> kept;  ///< of tool, part and machine, as the set-up file has them
  std::string file;                                    ///< where they are kept; empty: nowhere
  std::string source, news, trouble;
  bool running = true;  ///< false: the sound is at its end, or the device is gone
};

struct StartTaps {};  ///< the cautions were heeded
struct TapOn {
  setup::TappedOn on = setup::TappedOn::tool;
};                   ///< what is tapped next; begins again
struct TapAgain {};  ///< forget what was heard
struct TapFlutes {
  int flutes = 4;
};
struct KeepTaps {};  ///< into the set-up file, for what was tapped

using TapCommand = std::variant<StartTaps, TapOn, TapAgain, TapFlutes, KeepTaps>;

}  // namespace hushmill::live
