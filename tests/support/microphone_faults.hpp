// What goes wrong with an input, done to a clean sound: pure functions, deterministic. All data are invented.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "listen/findings.hpp"

namespace hushmill::test {

using Samples = std::vector<float>;

/// Amplified until `over_db` over the level at which its loudest hundredth would begin to clip, cut at full scale, then
/// turned to `top` of full scale.
Samples clipped(Samples x, double over_db, double top);
/// Nearly nothing: a microphone's own noise, −84 dBFS, with what leaks in 60 dB weaker.
Samples nearly_dead(Samples x);
/// The plug pulled at half of it.
Samples pulled_plug(Samples x);
Samples with_offset(Samples x, double offset);
/// A ground loop: the mains frequency and its odd and even multiples, root mean square `share` of the loudest second's.
Samples with_hum(Samples x, double rate_hz, double mains_hz, double share);
/// Pieces of `piece` samples missing, every `every_s`.
Samples with_pieces_missing(const Samples& x, double rate_hz, std::size_t piece, double every_s);
/// The same pieces, silent.
Samples with_pieces_silent(Samples x, double rate_hz, std::size_t piece, double every_s);
/// The same pieces, replaced by the piece before.
Samples with_pieces_doubled(Samples x, double rate_hz, std::size_t piece, double every_s);
/// Brought from a lower rate to this one by repeating samples, as a careless driver does.
Samples from_lower_rate(const Samples& x, double rate_hz, double lower_hz);
/// A speech link: nothing above `edge_hz` (windowed sinc, 512 taps).
Samples through_speech_link(const Samples& x, double rate_hz, double edge_hz);
/// Spectral subtraction in frames of 20 ms with half of them shared: each bin's noise is the lowest smoothed level of
/// the last 1.2 s, the gain never below −30 dB.
Samples noise_suppressed(const Samples& x, double rate_hz);
/// A gate that closes below −12 dB of the loudest second, within 50 ms.
Samples gated(Samples x, double rate_hz);
/// Gain that brings everything to −20 dBFS: at most 40 dB, down within 50 ms, up at 8 dB a second.
Samples automatically_gained(Samples x, double rate_hz);

/// Every fault by name, as it is tried on every sound.
struct MicrophoneFault {
  std::string name;
  listen::Warning code;
  Samples (*make)(const Samples& x, double rate_hz);
};
std::span<const MicrophoneFault> microphone_faults();

}  // namespace hushmill::test
