// The tap screen in words: steps with where one stands, modes with their spread, pockets, what differs between tool and
// part. Pure.
#pragma once

#include <string>
#include <vector>

#include "dashboard/tone.hpp"
#include "live/tap_state.hpp"

namespace hushmill::dashboard {

struct TapGuide {
  std::string words, status;
  bool done = false, now = false;
};

struct TapRow {
  std::string hz, damping, taps, level, remark;  ///< "1 182.4 ± 0.6", "2.31 ± 0.08", "5 of 5"
  bool weak = false;                             ///< heard in half of the taps or fewer
};

struct TapPocket {
  double spindle_rpm = 0;
  int waves = 0;
  std::string words;  ///< "5 910 rev/min: 3 waves from tooth to tooth"
};

struct TapMark {
  double share = 0;  ///< of the loudness picture's width
  bool counts = true;
  std::string why;  ///< it does not
};

struct TapView {
  std::vector<TapGuide> steps;
  std::vector<TapRow> rows;
  std::string pockets_head;           ///< whose mode they belong to
  std::vector<TapPocket> pockets;     ///< fastest first
  std::vector<std::string> compared;  ///< what was kept of tool, part and machine, and what it means
  std::vector<std::string> warnings;
  std::vector<TapMark> marks;
};

TapView prepare_taps(const live::TapState& state);
/// What must be heeded before a hammer is lifted; the first line is said largest.
std::vector<std::string> tap_cautions();

}  // namespace hushmill::dashboard
