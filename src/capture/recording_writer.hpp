// Writes a sound file: WAV or FLAC by the ending of its name, from interleaved samples, full scale ±1.
//
// What lies beyond full scale is clipped (not in floating point, which holds it), NaN and infinite samples become
// silence, and both are counted. Throws BadInput for a name or a rate that cannot be right and OutsideFailed when the
// disk does not take it. Not for the audio thread.
#pragma once

#include <cstdint>
#include <filesystem>
#include <memory>
#include <span>
#include <string>

namespace hushmill::capture {

/// How exact the stored samples are. `bits32` stores floating-point numbers and is for WAV alone.
enum class SampleDepth { bits16, bits24, bits32 };

struct RecordingFormat {
  double sample_rate_hz = 48000;  ///< whole number, 16 000 to 192 000
  int channels = 1;               ///< 1 or 2
  SampleDepth depth = SampleDepth::bits24;
  std::string comment{};  ///< kept inside the file, as "simulated, seed 7"; may be empty
};

class RecordingWriter {
 public:
  /// Replaces a file of that name.
  RecordingWriter(const std::filesystem::path& file, const RecordingFormat& format);
  /// Closes the file; a failure at that moment can only be seen by calling close().
  ~RecordingWriter();
  RecordingWriter(const RecordingWriter&) = delete;
  RecordingWriter& operator=(const RecordingWriter&) = delete;

  /// Whole frames only. After close() nothing may be written.
  void write(std::span<const float> interleaved);
  /// Writes the last of it and checks that the disk took everything.
  void close();

  std::uint64_t frames_written() const noexcept;
  std::uint64_t clipped_samples() const noexcept;
  std::uint64_t bad_samples() const noexcept;

 private:
  struct Parts;
  std::unique_ptr<Parts> parts_;
};

}  // namespace hushmill::capture
