// The dashboard: opens the window and shows the instrument's states until the person closes it. [main thread]
//
// Throws NoDisplay when no window can be opened (fall back to the terminal), FontMissing when no font is installed,
// std::runtime_error when a screenshot or report cannot be written. Knows states and commands, no thread and no device.
#pragma once

#include <filesystem>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "dashboard/greeting.hpp"
#include "dashboard/history_view.hpp"
#include "dashboard/layout.hpp"
#include "dashboard/replay_desk.hpp"
#include "dashboard/session.hpp"
#include "dashboard/view_state.hpp"
#include "dashboard/window.hpp"
#include "live/command.hpp"
#include "live/replay.hpp"
#include "live/state.hpp"

namespace hushmill::dashboard {

/// How the person likes the screen; comes back next time.
struct Liking {
  int width = 1280;  ///< of the window, screen coordinates
  int height = 720;
  bool light_theme = false;
  bool full_screen = false;
  bool logarithmic = false;
  Look look = Look::bench;
  Units units = Units::metric;
  bool operator==(const Liking&) const = default;
};

struct DashboardSettings : Liking {
  double scale = 0;  ///< of text and everything else; 0: what the screen asks for
  std::string title = "Hushmill";
  bool greet = false;          ///< begin with the three choices; needs `offer` and `open` of the door
  std::string greet_trouble;   ///< why it did not go on as last time

  std::optional<double> screenshot_after_s;  ///< since the first frame; needs `screenshot_file`
  std::string screenshot_file;               ///< PNG
  std::string drawn_text_file;  ///< every string and mark with its place, written with the screenshot, else kept fresh four times a second
  std::optional<double> close_after_s;
  std::function<bool()> end_asked{};  ///< the system asks the program to end

  std::string kept_folder;  ///< the journal's, whose sessions can be opened; empty: only files
  std::string job;          ///< whose tools are offered; empty: none
  std::vector<std::filesystem::path> cut_folders;  ///< cuts in files; the first is where they are written
  /// A recording to be opened at the start.
  struct Recording {
    std::string file;
    live::CutCard card;
    std::vector<live::ReplayStep> steps;
    std::vector<advise::Trial> tried{};  ///< before it, on this set-up
    capture::Channel channel = capture::Channel::mix;
  };
  std::optional<Recording> recording;
};

/// How the dashboard reaches the running instrument: `poll` replaces the state by a newer one and says whether there
/// was one; `send` hands a command over and says whether it was taken.
struct InstrumentDoor {
  std::function<bool(live::State&)> poll;
  std::function<bool(const live::Command&)> send;
  /// What there is to listen to; looked up when the greeting is shown.
  std::function<Offer()> offer{};
  /// Listens to this from now on instead; says in one line why not, else nothing.
  std::function<std::string(const Choice&)> open{};
  /// Told at most once a second, and at the end, when something of this changed.
  std::function<void(const Liking&, const live::CutCard&)> remember{};
  /// A frame of this state is on the screen now; for measuring.
  std::function<void(const live::State&)> drawn{};
  std::function<void(Elsewhere, const live::CutCard&)> go{};  ///< told when the person leaves for another screen; the dashboard then closes
};

/// What the screen knows of a session that goes on while another screen has the window.
struct Remembered {
  bool filled = false;
  Session session;
  History history;
  ReplayDesk::Seen seen;
  std::vector<live::CutCard> undo;
  Liking liking;  ///< how the screen was left
};

/// Returns 0 when the person closed the window or the time was over. `remembered` is taken up, and filled when the person leaves for
/// another screen.
int run_dashboard(const DashboardSettings& settings, const InstrumentDoor& door, Remembered* remembered = nullptr);

}  // namespace hushmill::dashboard
