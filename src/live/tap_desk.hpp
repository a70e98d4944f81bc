// A tap test that runs, without its thread: sound from a source, taps counted as they come, modes once they have rung
// out.
//
// The caller brings the time. What fails leaves a line of news. One thread.
#pragma once

#include <deque>
#include <filesystem>
#include <memory>
#include <optional>

#include "capture/source.hpp"
#include "live/pace.hpp"
#include "live/tap_state.hpp"
#include "tap/tap_test.hpp"

namespace hushmill::live {

struct TapBenchSettings {
  setup::TappedOn on = setup::TappedOn::tool;
  int flutes = 4;
  std::filesystem::path file{};  ///< set-up file for what is kept; empty: nothing can be kept
  bool paced = false;            ///< the source never waits (a recording): at the speed of real sound
  bool heeded = false;           ///< the cautions were shown and heeded elsewhere
};

class TapDesk {
 public:
  TapDesk(const TapBenchSettings& settings, std::unique_ptr<capture::Source> source, Pace::Time start);

  void apply(const TapCommand& command);
  /// Hears what there is. True when there was something.
  bool step(Pace::Time now);
  void fill(TapState& state) const;

 private:
  void hear(std::span<const float> sound);
  void end_room();
  void count_taps();
  void find_modes();
  void begin(TapStep step);
  void keep();
  void read_kept();

  TapBenchSettings settings_;
  std::unique_ptr<capture::Source> source_;
  std::optional<Pace> pace_;
  tap::TapTest test_;
  TapStep step_;
  tap::Findings findings_;
  std::size_t taps_in_modes_ = 0;
  double next_look_s_ = 0;
  std::deque<float> loudness_dbfs_;
  double square_ = 0;
  std::size_t in_piece_ = 0, piece_samples_;
  std::array<std::vector<setup::TappedMode>, 3> kept_;
  std::vector<float> sound_, ring_;
  std::string news_;
};

}  // namespace hushmill::live
