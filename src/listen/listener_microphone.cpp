// Where the engine's warnings of the input come from: asked once a second and at the end.
#include "listen/listener_parts.hpp"

namespace hushmill::listen {

void Listener::Parts::heed_microphone(bool at_end) {
  const auto found = microphone.findings(at_end);
  const auto still = [&](Warning warning) {
    return std::any_of(found.begin(), found.end(), [&](const MicrophoneFinding& finding) { return finding.code == warning; });
  };
  // What no longer holds goes, unless somebody else told of it.
  for (const Warning warning : {Warning::silent, Warning::faint, Warning::clipped, Warning::dc_offset, Warning::mains_hum, Warning::dropped_samples,
                                Warning::rate_mismatch, Warning::narrow_band, Warning::noise_suppression, Warning::automatic_gain})
    if (!still(warning) && std::find(told.begin(), told.end(), warning) == told.end()) std::erase(findings.warnings, warning);
  for (const MicrophoneFinding& finding : found) warn(finding.code);
}

}  // namespace hushmill::listen
