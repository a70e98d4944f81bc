// What was kept, for a screen that must not wait for a disk: sessions and their sound, the tools of a job, cuts written
// down.
//
// A thread of its own reads and writes, one errand after the other; whoever asked polls for what came of it. Nothing is
// thrown: what went wrong is an answer, too. One asking thread.
#pragma once

#include <cstdint>
#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "journal/records.hpp"
#include "live/replay.hpp"
#include "setup/cut_sheet.hpp"

namespace hushmill::live {

/// One thing that can be heard: a session's recording (all pieces of it), a minute, or the file that was listened to.
struct KeptSoundLine {
  std::string kind;     ///< "session", "minute", "listened"
  double from_s = 0;    ///< of the session
  double length_s = 0;  ///< 0: not known
  std::vector<std::filesystem::path> files;
};

/// A line of the list.
struct SessionOnShelf {
  std::int64_t number = 0;
  std::string begun;              ///< local time
  std::optional<double> heard_s;  ///< none: it has not ended, or ended without a word
  std::string what;               ///< job, tool, material, machine, source: what was given
  std::int64_t episodes = 0;
  std::vector<KeptSoundLine> sounds;
};

/// The sounds of a session, pieces of one recording as one, in order of time; only those whose files are there.
std::vector<KeptSoundLine> sounds_of(const std::vector<journal::RecordingRow>& recordings,
                                     const std::filesystem::path& folder);

/// A cut from a file as a card, and a card as a cut (without names).
CutCard card_of(const setup::CutSheet& sheet);
setup::CutSheet sheet_of(const CutCard& card);

/// A session as a replay's subject: what was entered and marked when. Throws capture::BadInput when none of its sound
/// is there.
ReplaySubject subject_of(const journal::SessionRecord& record, const std::filesystem::path& folder,
                         const std::optional<KeptSoundLine>& sound);

class Shelf {
 public:
  struct Sessions {
    std::string words;
    std::vector<SessionOnShelf> list;  ///< newest first
  };
  struct Opened {
    std::unique_ptr<Replay> replay;
  };
  /// What a session tried on the cut that was asked about.
  struct Tried {
    std::int64_t session = 0;
    std::vector<advise::Trial> trials;
    bool other_cut = false;  ///< it tried something on another cut, too
    bool depth_not_noted = false;
  };
  struct Tools {
    std::vector<journal::ToolRow> list;
  };
  /// A cut in a file.
  struct Cut {
    std::filesystem::path file;
    setup::CutSheet sheet;
    std::string trouble;  ///< why it cannot be read, in one line; then nothing else is filled
  };
  struct Cuts {
    std::vector<Cut> list;
  };
  struct Written {
    std::filesystem::path file;
  };
  struct Trouble {
    std::string text;
  };
  using Answer = std::variant<Sessions, Opened, Tried, Tools, Cuts, Written, Trouble>;

  /// The journal's folder; empty: there is none, and only files can be opened.
  explicit Shelf(std::filesystem::path folder);
  /// Ends the errand under way.
  ~Shelf();
  Shelf(const Shelf&) = delete;
  Shelf& operator=(const Shelf&) = delete;

  /// Those that hold these words; empty: all. At most 200.
  void ask_sessions(const std::string& words);
  void open_session(std::int64_t number, const KeptSoundLine& sound);
  /// What that session tried on this cut.
  void ask_tried(std::int64_t number, const CutCard& card);
  /// Any sound file, as if this card had been entered at its beginning.
  void open_file(const std::filesystem::path& file, const CutCard& card, std::vector<ReplayStep> steps = {},
                 std::vector<advise::Trial> tried = {}, capture::Channel channel = capture::Channel::mix);
  /// The tools of a job, by their numbers; none for a job that is not there.
  void ask_tools(const std::string& job);
  /// All cuts (*.toml) in these folders, by title; a folder that is not there holds none.
  void ask_cuts(const std::vector<std::filesystem::path>& folders);
  /// Writes a cut down under its title.
  void write_cut(const setup::CutSheet& sheet, setup::LengthUnit unit, const std::filesystem::path& folder);
  /// Ends a replay where nobody waits for it.
  void put_away(std::unique_ptr<Replay> replay);
  /// The next answer, in order; false when there is none.
  bool take(Answer& answer);

 private:
  struct Parts;
  std::unique_ptr<Parts> parts_;
};

}  // namespace hushmill::live
