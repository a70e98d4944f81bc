// A lesson: a live simulation with sound, a picture, a few controls, and questions that are answered by trying.
//
// Nothing is canned: what is seen, heard and judged is computed as the controls move, and where a cut is judged it is
// the real engine that listens to the sound. Deterministic: the same settings and the same turns at the same samples
// give the same lesson. No device, no screen, no clock: time is the count of samples. Constructors may take a second (a
// chart is worked out). One thread.
#pragma once

#include <array>
#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>

#include "lessons/scene.hpp"

namespace hushmill::lessons {

inline constexpr double kSampleRateHz = 48000;

class Lesson {
 public:
  virtual ~Lesson() = default;

  /// The next samples of the lesson's sound, full scale ±1. The simulation goes on by as many.
  virtual void process(std::span<float> sound) = 0;
  /// Turns a control; what is out of range is held at the nearest that is in range. False for a control that is not
  /// there.
  virtual bool set(std::size_t control, double value) = 0;
  /// One of the scene's deeds. False for one that is not there.
  virtual bool act(std::size_t deed) = 0;
  /// All that a screen may know, at this sample.
  virtual Scene scene() const = 0;

  /// True where real sound may take the place of the simulation (real forks and a microphone).
  virtual bool can_hear() const noexcept { return false; }
  /// Sound from a microphone at `kSampleRateHz`; the simulation stands still from then on. Only where `can_hear`.
  virtual void hear(std::span<const float> /*sound*/) {}
};

/// `seed` sets noise, room and chips; nothing that a lesson claims hangs on it.
std::unique_ptr<Lesson> make_lesson(Name name, std::uint64_t seed = 1);

}  // namespace hushmill::lessons
