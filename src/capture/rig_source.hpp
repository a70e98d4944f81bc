// The simulated machine as a source: it always has the next samples at once, so whoever reads it keeps the time.
//
// Never ends, loses nothing, adds no delay of its own. One thread.
#pragma once

#include <utility>

#include "capture/source.hpp"
#include "rig/rig.hpp"

namespace hushmill::capture {

class RigSource : public Source {
 public:
  explicit RigSource(rig::Rig rig) : rig_(std::move(rig)) {}

  double sample_rate_hz() const noexcept override { return rig_.sample_rate_hz(); }
  std::string name() const override { return "rig"; }
  std::size_t read(std::span<float> samples) override {
    rig_.process(samples);
    return samples.size();
  }
  bool ended() const noexcept override { return false; }

  /// The knobs, true from the next sample on. [listening thread]
  void turn(const rig::RigControls& controls) noexcept { rig_.turn(controls); }
  const rig::RigControls& controls() const noexcept { return rig_.controls(); }
  /// For labels and tests; no listener may see it.
  rig::RigTruth truth() const noexcept { return rig_.truth(); }

 private:
  rig::Rig rig_;
};

}  // namespace hushmill::capture
