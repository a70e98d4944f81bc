// A plain room: the direct sound, some early reflections, and a tail of four delay lines that feed one another.
//
// The tail after J.-M. Jot, A. Chaigne, "Digital delay networks for designing artificial reverberators", AES preprint
// 3030 (1991), from memory. The same seed is the same room. The direct sound is not delayed. Allocates in the
// constructor only.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <vector>

namespace hushmill::rig {

class Room {
 public:
  /// `reverberation_s` to −60 dB at low frequencies; 0: no room.
  Room(double sample_rate_hz, double reverberation_s, std::uint64_t seed);
  float process(float sound) noexcept;

 private:
  static constexpr std::size_t kEarly = 5;
  static constexpr std::size_t kLines = 4;
  struct Line {
    std::vector<float> samples;
    std::size_t at = 0;
    float gain = 0, dull = 0;
  };
  bool there_ = false;
  std::vector<float> early_;
  std::size_t early_at_ = 0;
  std::array<std::size_t, kEarly> early_delay_{};
  std::array<float, kEarly> early_gain_{};
  std::array<Line, kLines> lines_;
};

}  // namespace hushmill::rig
