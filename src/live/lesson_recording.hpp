// A lesson as a recording: its sound at its own speed in a FLAC or WAV file, and the written account beside it.
//
// Throws capture::BadInput for a name that cannot be right and capture::OutsideFailed when the disk does not take it.
// Not for the audio thread.
#pragma once

#include <filesystem>
#include <span>

#include "capture/recording_writer.hpp"
#include "lessons/account.hpp"

namespace hushmill::live {

class LessonRecording {
 public:
  /// `file` ends in .flac or .wav; the account gets the same name with .txt.
  LessonRecording(const std::filesystem::path& file, const lessons::Scene& scene);

  void write(std::span<const float> sound);
  lessons::Account& account() noexcept { return account_; }
  double seconds() const noexcept;
  const std::filesystem::path& file() const noexcept { return file_; }
  /// Ends both files.
  void close();

 private:
  std::filesystem::path file_;
  lessons::Account account_;
  capture::RecordingWriter writer_;
};

/// "forks-1.flac", "forks-2.flac": the first name that is free in the folder, which is made if needed.
std::filesystem::path free_lesson_file(const std::filesystem::path& folder, lessons::Name name);

}  // namespace hushmill::live
