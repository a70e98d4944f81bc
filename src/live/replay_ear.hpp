// Lets a replay be heard: follows the place that is played, through the loudspeaker. Slower and faster is lower and
// higher, as a tape would be. Opens the loudspeaker when it is wanted first. [replay thread, all of it]
#pragma once

#include <chrono>
#include <cstdint>
#include <filesystem>
#include <memory>
#include <string>
#include <vector>

#include "capture/loudspeaker.hpp"
#include "live/replay_sound.hpp"

namespace hushmill::live {

/// `speed` source samples for each sample out, drawn linearly between neighbours, the mean of them when there are more.
class TapeSpeed {
 public:
  /// Appends to `out` what `in` becomes.
  void process(std::span<const float> in, double speed, std::vector<float>& out);

 private:
  double phase_ = 0;
  float last_ = 0;
};

class ReplayEar {
 public:
  /// Call often. Plays on from the last call when the place is near to where the ear is, else from there anew; what is
  /// wrong, once.
  std::string follow(const std::vector<std::filesystem::path>& files, capture::Channel channel, double at_s, double speed, bool wanted);

 private:
  std::unique_ptr<capture::Loudspeaker> loudspeaker_;
  std::unique_ptr<ReplaySound> sound_;
  TapeSpeed tape_;
  std::vector<float> piece_, played_;
};

}  // namespace hushmill::live
