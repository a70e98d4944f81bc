// Where sound comes from. Microphone, recording and rig look alike to everything after them.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <string>

namespace hushmill::capture {

/// The rates that the engine takes; a door outside them is refused.
inline constexpr double kLowestRateHz = 16000;
inline constexpr double kHighestRateHz = 192000;

/// What is wrong with the two channels of a door, as far as the chosen one suffers from it.
enum class SidesFault {
  none,
  one_sided,     ///< the chosen channel, or half of the mix, is dead or 26 dB weaker than the other
  sides_cancel,  ///< the mix was chosen and the channels are in opposite phase
};

/// Sound that was lost on its way.
struct Gap {
  std::uint64_t before_sample = 0;  ///< it lies just before this sample, counted among those that were read
  std::uint64_t samples = 0;        ///< how much is missing, at least
};

class Source {
 public:
  virtual ~Source() = default;
  virtual double sample_rate_hz() const noexcept = 0;
  /// What the person would call it: a device's name, a file's name, "rig".
  virtual std::string name() const = 0;
  /// Fills the front of `samples` with the next mono samples and says how many; 0 means none now (a live source) or
  /// none ever again (`ended`). Never blocks longer than about 20 ms. [listening thread]
  virtual std::size_t read(std::span<float> samples) = 0;
  virtual bool ended() const noexcept = 0;
  /// Samples that were lost before they could be read, since the start.
  virtual std::uint64_t lost_samples() const noexcept { return 0; }
  /// The gap just before the next sample to be read, each once. read() stops short at a gap, so whoever asks after
  /// every read learns of it in time. [listening thread]
  virtual std::optional<Gap> take_gap() { return std::nullopt; }
  /// What is wrong with the two channels; none of a mono door. [listening thread]
  virtual SidesFault sides_fault() const noexcept { return SidesFault::none; }
  /// One plain line while something is wrong (a device that is gone, a file that breaks off), else empty.
  virtual std::string trouble() const { return {}; }
  /// Tries to bring an ended source back; true when sound flows again, at the same rate. Call it a few times a second.
  /// May take some 100 ms. [listening thread]
  virtual bool reopen() { return false; }
  /// Gives the device up for somebody else, or takes it back; meanwhile there is no sound, and none is lost. A device that cannot be
  /// had again is gone. [listening thread]
  virtual void rest(bool) {}
};

}  // namespace hushmill::capture
