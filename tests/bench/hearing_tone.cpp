#include "bench/hearing_tone.hpp"

#include <fmt/format.h>

#include <cmath>
#include <numbers>
#include <span>
#include <vector>

#include "bench/side_by_side.hpp"
#include "listen/listener.hpp"
#include "signal/fft.hpp"
#include "signal/tone.hpp"
#include "support/chance.hpp"
#include "support/tone_bound.hpp"

namespace hushmill::bench {
namespace {

constexpr double kRateHz = 48000;
constexpr double kShownWithinHz = 4;   // a bin of the long window: beyond it is another line
constexpr double kWorkingHz = 24000;   // of the engine, see listen/frames.hpp
constexpr double kLongWindowS = 0.23;  // of the engine at 6000 rev/min, see listen/listener_parts.hpp
constexpr int kTones = 240;
constexpr int kRoomBlocks = 6;  // noise alone first: a tone that was always there is the room's and not shown
constexpr int kFrames = 4;      // of each tone, a long window and more apart

struct Errors {
  double squares = 0;
  int frames = 0, not_shown = 0;
};

// Of the peak that the engine shows nearest to the tone, over frames that share no sample.
Errors errors_of_tone(int number, double snr) {
  test::Chance chance(40000 + static_cast<std::uint64_t>(number));
  const double hz = chance.uniform(400, 5000), amplitude = 0.1;
  const double deviation = amplitude / std::sqrt(2 * snr);
  double phase = chance.uniform(0, 2 * std::numbers::pi);
  listen::Listener listener({kRateHz, 6000, 4});
  std::vector<float> block(static_cast<std::size_t>(0.256 * kRateHz));
  Errors errors;
  for (int at = 0; at < kRoomBlocks + 2 + kFrames; ++at) {
    const bool sounds = at >= kRoomBlocks;
    for (float& x : block) {
      x = static_cast<float>((sounds ? amplitude * std::sin(phase) : 0.0) + deviation * chance.normal());
      phase += 2 * std::numbers::pi * hz / kRateHz;
    }
    listener.process(block);
    if (at < kRoomBlocks + 2) continue;  // the long window fills
    double nearest = 1e9;
    for (const auto& peak : listener.snapshot().peaks)
      if (std::abs(peak.hz - hz) < std::abs(nearest)) nearest = peak.hz - hz;
    if (std::abs(nearest) > kShownWithinHz) {
      ++errors.not_shown;
      continue;
    }
    errors.squares += nearest * nearest;
    ++errors.frames;
  }
  return errors;
}

}  // namespace

void report_tone(Report& report) {
  const double window_s =
      static_cast<double>(signal::fft_size_at_least(static_cast<std::size_t>(kLongWindowS * kWorkingHz))) / kWorkingHz;
  report.note(fmt::format(
      "one tone in white noise, {} frames of the long window ({:.3f} s): root-mean-square error of the shown "
      "peak over the bound of Rife and Boorstyn 1974",
      kTones * kFrames, window_s));
  // From 38 dB over the noise of its own bin upward: far over the threshold, and loud enough not to be taken for room.
  for (const double snr_db : {0.0, 10.0, 20.0}) {
    const double snr = std::pow(10.0, snr_db / 10);
    std::vector<Errors> each(kTones);
    side_by_side(each.size(), [&](std::size_t i) { each[i] = errors_of_tone(static_cast<int>(i), snr); });
    Errors all;
    for (const Errors& e : each) all.squares += e.squares, all.frames += e.frames, all.not_shown += e.not_shown;
    const double error_hz = std::sqrt(all.squares / all.frames);
    const double bound_hz = test::tone_bound_hz(snr, window_s * kRateHz, kRateHz);
    report.figure(fmt::format("tone at {:+.0f} dB (in 24 kHz of noise), error over the bound", snr_db),
                  error_hz / bound_hz, "ratio", at_most(1.3));
    report.note(fmt::format("  bound {:.4f} Hz, measured {:.4f} Hz in {} frames; not shown in {}", bound_hz, error_hz,
                            all.frames, all.not_shown));
  }
}

}  // namespace hushmill::bench
