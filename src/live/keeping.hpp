// What is kept of a session and what the screen may know of it. Plain values.
#pragma once

#include <chrono>
#include <cstdint>
#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "advise/advice.hpp"
#include "listen/findings.hpp"
#include "live/cut_card.hpp"
#include "trial/speed_table.hpp"
#include "live/trials_kept.hpp"

namespace hushmill::live {

enum class SoundFile { wav, flac };

struct KeepingSettings {
  std::filesystem::path folder{};  ///< the journal's; recordings go into a folder below it
  bool journal = true;             ///< write down what is heard
  bool minute = true;              ///< hold the last minute in memory
  bool record = false;             ///< record the whole session from the start
  SoundFile sound_file = SoundFile::wav;
  std::filesystem::path listened{};  ///< the recording that is listened to; it is not recorded again
  std::string source_kind{}, source{};
  double sample_rate_hz = 48000;
  std::string program_version{}, settings{};  ///< so that a report can be reproduced
  std::string job{}, machine{}, tool{}, hold{}, material{};
  CutCard card{};
  double wav_piece_s = 3600;  ///< a session is recorded in pieces of this length
  double flac_piece_s = 600;  ///< the same where each is packed when it is full
  double least_free_gib = 1;  ///< recording stops when the disk has less left
};

/// Where a recording has silence, because the disk was too slow; listening heard it. Times of the session.
struct KeptHole {
  double from_s = 0;
  double until_s = 0;
  double lost_s = 0;  ///< of that, the missing sound: holes less than a second apart are one
};

/// State of the keeping at one moment.
struct KeepingState {
  bool journal = false;          ///< being written
  std::int64_t session = 0;      ///< its number in the journal; 0 until something was kept
  std::uint64_t kept_events = 0; ///< committed: they survive a power cut
  std::uint64_t kept_notes = 0;  ///< the same of all that was noted, the end of the session as well
  bool minute = false;           ///< the last minute is held in memory
  double minute_s = 0;           ///< so much of it
  bool recording = false;
  double recorded_s = 0;         ///< of the whole session, all pieces
  int kept_recordings = 0;       ///< files of this session that are there
  std::string last_file;         ///< the name of the newest
  std::uint64_t missing_samples = 0;  ///< came too fast for the disk; silence in the recordings
  std::vector<KeptHole> holes{};      ///< the last 32 places where it is missing, oldest first; the last may still grow
  std::uint64_t missing_notes = 0;    ///< events that could not be handed over
  std::string sound_trouble;     ///< one line while a recording fails, else empty
  std::string journal_trouble;   ///< one line while the journal cannot be written, else empty
  std::string news;              ///< what was done last, one line
};

// What is handed over, in the order in which it happened.
struct KeptEvent {
  listen::Event event{};
  std::chrono::system_clock::time_point when{};
  std::optional<listen::Episode> episode{};
  std::optional<listen::Cut> cut{};
  std::optional<double> hz{};
  double entered_rpm = 0;
  std::optional<double> measured_rpm{};
};
struct KeptCard {
  double t_s = 0;
  CutCard card{};
};
struct KeptAdvice {
  double t_s = 0;
  std::int64_t episode_number = 1;
  advise::Advice advice{};
};
struct KeptLoss {
  double t_s = 0;
  double lost_s = 0;
};
/// What a person did that a replay must do again ("lap_marked", "place", "heard_taken"), or did to the listening.
struct KeptMark {
  double t_s = 0;
  std::string kind{}, text{};
};
/// The last trials, those that stay as they were told may be left out; and the table of all, where it changed.
struct KeptTrials {
  std::vector<TrialKept> trials{};
  std::optional<trial::SpeedTable> speeds{};
};
/// So many of the last trials may still change, or be what a later one is compared with.
inline constexpr std::size_t kTrialsToldAgain = 24;

/// How far it has come, every second: what a kill leaves of the chatter and the trial that run.
struct KeptProgress {
  double heard_s = 0;
  std::optional<std::int64_t> episode_number{};  ///< of the chatter that is open, counted from 1
  listen::Episode episode{};
  double entered_rpm = 0;  ///< at which it was raised
  std::optional<double> measured_rpm{};
  KeptTrials trials{};
};
/// The session is over.
struct KeptEnd {
  double heard_s = 0;
  listen::Findings findings{};
};

// What a person asks for.
/// Writes the last minute to a file.
struct KeepMinute {};
/// Holds the last minute in memory or not; what is held goes when it is switched off.
struct HoldMinute { bool on = true; };
/// Records the session from now on, or ends it.
struct RecordSession { bool on = true; };
/// Deletes what this session kept of the sound, ends its recording and empties the minute.
struct DropSound {};
/// A remark of the person.
struct KeepNote { double t_s = 0; std::string text{}; };

using Kept = std::variant<KeptEvent, KeptCard, KeptAdvice, KeptLoss, KeptMark, KeptTrials, KeptProgress, KeptEnd, KeepMinute, HoldMinute, RecordSession,
                          DropSound, KeepNote>;

}  // namespace hushmill::live
