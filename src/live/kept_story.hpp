// The story of a session on the disk thread: notes become rows of the journal. [disk thread, all of it]
//
// Every note is committed when write() returns, or waits for the next try; so does whatever comes after it, and the order
// stays. Nothing is thrown after construction: what is wrong stands in trouble().
#pragma once

#include <chrono>
#include <cstdint>
#include <deque>
#include <map>
#include <memory>
#include <string>
#include <vector>

#include "journal/journal.hpp"
#include "live/kept_sound.hpp"
#include "live/keeping.hpp"

namespace hushmill::live {

class KeptStory {
 public:
  using Clock = std::chrono::steady_clock;

  /// Opens the journal; the session begins in it with the first thing that is kept. Throws journal::BadJournal and journal::JournalFailed.
  explicit KeptStory(const KeepingSettings& settings);

  void note(std::shared_ptr<const Kept> kept);
  /// Commits what waits, and what changed about the files.
  void write(std::vector<KeptFile>& files, Clock::time_point now);

  std::int64_t session() const noexcept { return session_; }
  /// Events that are committed.
  std::uint64_t kept_events() const noexcept { return kept_events_; }
  /// All that is committed, events included.
  std::uint64_t kept_notes() const noexcept { return kept_notes_; }
  std::uint64_t dropped() const noexcept { return dropped_; }
  const std::string& trouble() const noexcept { return trouble_; }
  const std::string& news() const noexcept { return news_; }

 private:
  void begin_session();
  void put(const Kept& kept);
  const CutCard& card_at(double t_s) const;
  void put(const KeptEvent& kept);
  void put(const KeptEnd& kept);
  void put(const KeptTrials& kept);
  void put(const KeptProgress& kept);
  void put(const KeptAdvice& kept);
  void put(KeptFile& file);
  void prune();

  KeepingSettings settings_;
  std::map<std::int64_t, TrialKept> trials_;  // the last ones, as the journal has them
  std::vector<KeptCard> cards_;  // those after the first, in order of time
  journal::Journal journal_;
  std::chrono::system_clock::time_point started_;
  std::int64_t session_ = 0;  // 0: not begun
  std::deque<std::shared_ptr<const Kept>> waiting_;
  std::uint64_t kept_events_ = 0, kept_notes_ = 0, dropped_ = 0;
  Clock::time_point next_try_{};
  std::string trouble_, news_;
};

}  // namespace hushmill::live
