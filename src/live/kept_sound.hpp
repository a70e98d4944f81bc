// The sound of a session on the disk thread: the last minute in memory, the recording that grows, and finished files
// being packed and hashed a piece at a time. Knows no thread, no ring and no journal. [disk thread, all of it]
//
// A failure of the disk never leaves this class: it ends the recording and stands in trouble().
#pragma once

#include <chrono>
#include <cstdint>
#include <deque>
#include <filesystem>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <utility>
#include <vector>

#include "capture/pack_flac.hpp"
#include "capture/synced_wav.hpp"
#include "journal/sha256.hpp"
#include "live/keeping.hpp"

namespace hushmill::live {

/// One recording of this session.
struct KeptFile {
  std::filesystem::path path;  ///< relative to the journal's folder; absolute when it was listened to
  std::string kind;            ///< "minute", "session", "listened"
  std::chrono::system_clock::time_point started;
  std::int64_t from_sample = 0, to_sample = 0;
  std::int64_t missing_samples = 0;
  std::string sha256{};
  std::int64_t bytes = 0;
  std::int64_t row = 0;  ///< in the journal; 0: not yet
  bool changed = true;   ///< the journal does not know it like this
  bool gone = false;     ///< deleted
};

class KeptSound {
 public:
  using Clock = std::chrono::steady_clock;
  /// How much of the past is held.
  static constexpr double kMinuteS = 60;

  explicit KeptSound(const KeepingSettings& settings);
  ~KeptSound();

  /// Samples of the session from number `first` on; what lies between them and the last ones was lost.
  void hear(std::int64_t first, std::span<const float> samples);
  void hold_minute(bool on);
  void keep_minute();
  void record(bool on);
  void drop();
  /// Puts the recording on the disk when it is time.
  void sync(Clock::time_point now);
  /// Packs and hashes a little; true when there is more to do.
  bool work();
  /// Ends the recording and finishes all files.
  void finish();

  std::vector<KeptFile>& files() noexcept { return files_; }
  bool holding() const noexcept { return holding_; }
  double minute_s() const noexcept { return static_cast<double>(held_) / rate_hz_; }
  bool recording() const noexcept { return wav_ != nullptr; }
  double recorded_s() const noexcept { return static_cast<double>(recorded_) / rate_hz_; }
  std::int64_t missing_samples() const noexcept { return missing_; }
  /// The last 32 places where it is missing, oldest first.
  const std::deque<KeptHole>& holes() const noexcept { return told_holes_; }
  const std::string& trouble() const noexcept { return trouble_; }
  const std::string& news() const noexcept { return news_; }

 private:
  struct Unfinished {
    std::size_t file = 0;
    std::unique_ptr<capture::PackFlac> pack;
    std::unique_ptr<journal::FileSha256> hash;
  };

  void append(std::span<const float> samples, bool missing);
  void write(std::span<const float> samples, bool missing);
  std::size_t begin_file(const std::string& kind, std::int64_t from_sample);
  void open_piece(std::int64_t from_sample);
  void close_piece();
  void finish_file(std::size_t file, bool pack);
  void fail(const std::string& why);
  bool disk_is_full();

  const KeepingSettings settings_;
  const double rate_hz_;
  std::vector<float> minute_;
  std::size_t minute_at_ = 0, held_ = 0;
  bool holding_ = true;
  std::int64_t next_ = 0;  // number of the next sample
  void tell_hole(std::int64_t from, std::int64_t until);

  std::int64_t missing_ = 0;
  std::deque<KeptHole> told_holes_;
  std::deque<std::pair<std::int64_t, std::int64_t>> holes_;  // first and count of what is missing in the last minute

  std::unique_ptr<capture::SyncedWav> wav_;
  std::size_t wav_file_ = 0;
  std::int64_t recorded_ = 0;
  int pieces_ = 0;
  Clock::time_point synced_{}, space_looked_{};

  std::vector<KeptFile> files_;
  std::deque<Unfinished> unfinished_;
  std::string trouble_, news_;
};

}  // namespace hushmill::live
