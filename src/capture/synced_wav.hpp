// A mono WAV file that is true while it grows: whoever pulls the plug finds a file that opens and holds all but the last
// second.
//
// Samples are kept as 32-bit floating point, so exactly as they were heard; NaN and infinite ones become silence. A WAV
// has its length in front: sync() first puts the samples onto the disk, then the length, so that the header never
// promises what is not there. Throws BadInput for a bad name or rate, OutsideFailed when the disk does not take it; what
// was taken before stays readable. One thread, never the audio or listening thread.
#pragma once

#include <cstdint>
#include <filesystem>
#include <memory>
#include <span>
#include <string>

namespace hushmill::capture {

class SyncedWav {
 public:
  /// Refuses to write over a file that is there.
  SyncedWav(const std::filesystem::path& file, double sample_rate_hz, const std::string& comment = {});
  /// Makes the header true, without waiting for the disk.
  ~SyncedWav();
  SyncedWav(const SyncedWav&) = delete;
  SyncedWav& operator=(const SyncedWav&) = delete;

  void write(std::span<const float> samples);
  /// Everything written so far is on the disk when it returns.
  void sync();
  /// sync(), and the file is finished. Afterwards nothing may be written.
  void close();

  std::uint64_t samples() const noexcept;
  const std::filesystem::path& file() const noexcept;
  /// More does not fit: a WAV counts its bytes in 32 bits.
  static std::uint64_t most_samples() noexcept;

 private:
  struct Parts;
  std::unique_ptr<Parts> parts_;
};

}  // namespace hushmill::capture
