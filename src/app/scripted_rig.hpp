// The simulated machine with a plan: at these times the knobs are turned, counted in samples.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "capture/rig_source.hpp"
#include "rig/rig_settings.hpp"

namespace hushmill::app {

/// What changes at a moment; what is not set stays.
struct RigChange {
  double at_s = 0;
  std::optional<double> spindle_rpm;
  std::optional<double> depth_mm;
  std::optional<double> radial_mm;
  std::optional<bool> in_cut;
};

class ScriptedRig : public capture::RigSource {
 public:
  ScriptedRig(const rig::RigSettings& settings, std::vector<RigChange> changes);
  std::size_t read(std::span<float> samples) override;

 private:
  std::vector<RigChange> changes_;
  std::size_t next_ = 0;
  std::int64_t sample_ = 0;
};

}  // namespace hushmill::app
