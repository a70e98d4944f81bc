// The engine: sound in, snapshots and events out.
//
// Pure, causal and deterministic. No thread, no clock, no device: time is the count of samples. The answer does not
// depend on how the samples are cut into blocks. Not for the audio thread: events and findings may allocate.
#pragma once

#include <cstdint>
#include <memory>
#include <span>
#include <vector>

#include "listen/findings.hpp"
#include "listen/snapshot.hpp"

namespace hushmill::listen {

/// What the person entered. Limits: 16 to 192 kHz, 10 to 200 000 rev/min, 1 to 64 flutes.
struct ListenerSettings {
  double sample_rate_hz = 48000;
  double spindle_rpm = 6000;
  int flutes = 4;  ///< of a cutter of unequal pitch: how often its pitch pattern repeats in a revolution
  int pattern_teeth = 1;  ///< teeth in one such pattern; only the count of waves per tooth asks for it
};

class Listener {
 public:
  /// Throws std::invalid_argument naming the field when a setting is out of range.
  explicit Listener(const ListenerSettings& settings);
  ~Listener();
  Listener(Listener&&) noexcept;
  Listener& operator=(Listener&&) noexcept;

  /// Next samples, full scale ±1, any number. NaN, infinite and absurd samples (good_sample.hpp) are counted and silenced.
  void process(std::span<const float> samples);

  /// A new entered speed, true from the next sample on.
  void set_spindle_rpm(double spindle_rpm);
  /// A new flute count, true from the next sample on.
  void set_flutes(int flutes);

  /// A warning that only the door can know of (channels, lost sound); kept as the engine's own are.
  void warn(Warning warning);

  /// Sound is missing before the next sample. Time goes on as the count of samples; frames that hold the tear speak for no new chatter.
  void note_gap();

  /// Ends what is open at the last sample (the end of a recording). Afterwards only the getters may be called.
  void finish();

  /// Events raised since the last call, oldest first.
  std::vector<Event> take_events();
  /// State after the last whole hop (about 10 ms). The reference stays valid; its content changes with `process`.
  const Snapshot& snapshot() const noexcept;
  /// All that was heard so far.
  const Findings& findings() const noexcept;

 private:
  struct Parts;
  std::unique_ptr<Parts> parts_;
};

}  // namespace hushmill::listen
