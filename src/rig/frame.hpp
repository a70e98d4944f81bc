// Table, column and guards: a handful of broad resonances that the cutting force shakes, each in a direction of its
// own, and the room hears.
//
// The same seed is the same machine frame. Output is proportional to velocity near each resonance, which for large
// panels is what radiates. Allocates in the constructor only. One thread.
#pragma once

#include <cstdint>
#include <vector>

namespace hushmill::rig {

class Frame {
 public:
  Frame(double sample_rate_hz, std::uint64_t seed);
  /// Force along x and y of the table.
  float process(float force_x, float force_y) noexcept;

 private:
  struct Resonance {
    float drive_x = 0, drive_y = 0, a1 = 0, a2 = 0, y1 = 0, y2 = 0;
  };
  std::vector<Resonance> resonances_;
  float x1_ = 0, x2_ = 0, y1_ = 0, y2_ = 0;
};

}  // namespace hushmill::rig
