// A sound file as a source: WAV, FLAC, OGG (Vorbis, Opus) or AIFF, mono or stereo, of any length, read in small pieces.
//
// The constructor refuses what cannot be listened to with BadInput (OutsideFailed when the disk fails), one line that
// names the file. A file that breaks off halfway is read as far as it goes; trouble() then says where and why, and
// ended() is true. No delay. One thread; it reads the disk, so never the audio thread.
#pragma once

#include <filesystem>
#include <memory>
#include <optional>

#include "capture/channel.hpp"
#include "capture/source.hpp"

namespace hushmill::capture {

class Recording : public Source {
 public:
  /// Refuses rates below `lowest_rate_hz`.
  explicit Recording(const std::filesystem::path& file, Channel channel = Channel::mix, double lowest_rate_hz = kLowestRateHz);
  ~Recording() override;
  Recording(const Recording&) = delete;
  Recording& operator=(const Recording&) = delete;

  double sample_rate_hz() const noexcept override;
  /// The file's name without its folder.
  std::string name() const override;
  std::size_t read(std::span<float> samples) override;
  bool ended() const noexcept override;
  std::string trouble() const override;
  SidesFault sides_fault() const noexcept override;

  /// The next sample to be read is this one, counted from the beginning; beyond the end: the end. For playing, not for listening:
  /// what was noted of the two channels stays. False when the file cannot be wound.
  bool seek(std::uint64_t sample);

  /// 1 or 2.
  int channels() const noexcept;
  /// Length by the file's header, samples of one channel; none when the header does not know. The sound may be shorter.
  std::optional<std::uint64_t> stated_samples() const noexcept;
  /// Samples of one channel handed out so far.
  std::uint64_t samples_read() const noexcept;
  /// The comment that the file carries ("simulated", say), else empty.
  std::string comment() const;

 private:
  struct Parts;
  std::unique_ptr<Parts> parts_;
};

}  // namespace hushmill::capture
