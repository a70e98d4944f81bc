// Keeps the sound and the story of a session, on a thread of its own: the only one that writes recordings and journal.
//
// The listening thread hands samples and notes over through two rings and never waits; when the disk is slower than
// those rings are long (10 s of sound, 4096 notes), what finds no place is counted, and missing sound is silence in the
// recording, so that times stay true. Recordings are put onto the disk twice a second and notes are committed as they
// come, so a crash or a power cut takes at most the last second. When the disk fails, trouble() says so once, recording
// ends, notes are held (at most 4096) and tried again every five seconds, and listening goes on.
#pragma once

#include <memory>
#include <span>
#include <string>

#include "live/keeping.hpp"

namespace hushmill::live {

class Keeper {
 public:
  /// Opens the journal and starts the disk thread. The session begins with the first thing that is kept. Throws what opening the journal throws
  /// (journal::BadJournal, journal::JournalFailed); later failures are in the state.
  explicit Keeper(const KeepingSettings& settings);
  /// Closes it, if nobody did.
  ~Keeper();
  Keeper(const Keeper&) = delete;
  Keeper& operator=(const Keeper&) = delete;

  /// The next samples of the session, every one. [listening thread]
  void hear(std::span<const float> samples) noexcept;
  /// [listening thread]
  void note(Kept kept);
  /// How many notes were handed over; all of them are in the journal when kept_notes of the state is as large. [listening thread]
  std::uint64_t noted() const noexcept;
  /// Writes what is still under way, tries once more what failed, closes the recordings and ends the disk thread. The
  /// last state. Nothing is heard or noted after it. [thread that takes the state]
  KeepingState close();
  /// The newest state; false when there is none newer. [one thread]
  bool take(KeepingState& state);
  /// Samples and notes that wait for the disk thread, as a share of the fuller ring. [listening thread]
  double backlog() const noexcept;

 private:
  struct Parts;
  std::unique_ptr<Parts> parts_;
};

/// What to say where the journal lacks some of the `noted`: how many, and why; empty when it has all.
std::string not_all_kept(const KeepingState& state, std::uint64_t noted);

/// The journal is told so once a second while the tool cuts; an hour of idling is no news.
bool progress_due(double now_s, double last_s, const listen::Findings& findings) noexcept;
KeptProgress kept_progress(double heard_s, const listen::Findings& findings, std::span<const trial::Trial> trials);

/// An event with all that belongs to it, ready to be kept.
KeptEvent kept_event(const listen::Event& event, const listen::Findings& findings, double entered_rpm,
                     std::optional<double> measured_rpm);

}  // namespace hushmill::live
