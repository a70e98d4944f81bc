// Packs a finished WAV into FLAC (24 bits) beside it, a piece at a time, so that a thread can do other things meanwhile.
//
// The WAV is deleted only when the FLAC is on the disk, opens and has every sample; until then it is written under
// another name. FLAC cannot be kept true while it grows, which is why recordings begin as WAV. What came from a
// converter of up to 24 bits is packed without loss; anything else is rounded to 24 bits (-144 dB), and beyond full scale
// clipped. Throws BadInput or OutsideFailed; then the WAV is still there. Not for the audio or listening thread.
#pragma once

#include <filesystem>
#include <memory>

namespace hushmill::capture {

class PackFlac {
 public:
  explicit PackFlac(const std::filesystem::path& wav);
  ~PackFlac();
  PackFlac(const PackFlac&) = delete;
  PackFlac& operator=(const PackFlac&) = delete;

  /// Packs some seconds of sound; true when all is done and the WAV gone.
  bool step();
  /// Where the FLAC is in the end.
  const std::filesystem::path& flac() const noexcept;

 private:
  struct Parts;
  std::unique_ptr<Parts> parts_;
};

}  // namespace hushmill::capture
