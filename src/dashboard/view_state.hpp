// What the screen remembers between two frames that is not the instrument's: looks, zoom, the field being typed in.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "dashboard/axis.hpp"
#include "dashboard/eased.hpp"
#include "dashboard/field.hpp"
#include "dashboard/folded_view.hpp"
#include "dashboard/greeting.hpp"
#include "dashboard/known_speeds.hpp"
#include "dashboard/layout.hpp"
#include "dashboard/line_editor.hpp"
#include "dashboard/past_view.hpp"
#include "dashboard/spectrum_view.hpp"
#include "dashboard/timeline_view.hpp"
#include "listen/snapshot.hpp"
#include "live/cut_card.hpp"

namespace hushmill::dashboard {

/// A screen of its own beside the dashboard.
enum class Elsewhere { lessons, taps };

/// What the person did since the last frame; places in framebuffer pixels.
struct Input {
  float mouse_x = -1;
  float mouse_y = -1;
  bool mouse_down = false;
  bool clicked = false;  ///< the button went down
  float wheel = 0;
  std::vector<std::string> keys;  ///< names as in `Action`'s table, in order
  std::u32string typed;
  std::vector<std::string> dropped;  ///< files that were dropped on the window
  double dt_s = 0;  ///< since the last frame
};

/// Which picture is being dragged.
enum class Panning { none, sideways, upward };

/// Views whose memory the next frame uses again, and what need not be worked out for every frame.
struct Again {
  FoldedView folded;
  SpectrumView spectrum;
  TimelineView timeline;
  KnownSpeeds speeds;
};

struct ViewState {
  Look look = Look::bench;
  bool light = false;
  bool logarithmic = false;
  bool full_screen = false;
  int show_keys = 0;  ///< page of the card of keys; 0: not shown
  bool hearing = false;
  bool close_wanted = false;
  std::optional<Greeting> greeting;  ///< shown instead of the instruments
  bool greeting_wanted = false;      ///< the dashboard fetches what there is to choose from
  std::string dropped_file;          ///< for the greeting that is wanted
  std::optional<Elsewhere> elsewhere;  ///< where to go when it closes
  Units units = Units::metric;

  std::optional<listen::Snapshot> held;  ///< the pictures' moment while they are frozen
  std::optional<Axis> hz_zoom;           ///< the stretch the person chose; none: the interesting one
  Eased hz_to, ladder_from, ladder_to, db_to;

  std::optional<Field> editing;
  LineEditor editor;
  std::string entry_trouble;      ///< one line while what is typed is not right
  std::optional<Field> dragging;  ///< knob of the simulated machine under the mouse
  double drop_asked_s = 0;        ///< deleting what was kept asks once more for so long
  std::string news;               ///< what was kept or deleted last, shown for news_s
  int news_recordings = 0;
  double news_s = 0;
  Words tool;                     ///< one line for the cut card: the tool, or that the sound fits another
  std::optional<PastView> past;   ///< set while another moment than now is shown
  std::optional<double> reading_hz;  ///< where a key put the reading line
  Panning panning = Panning::none;
  float last_mouse_x = 0;
  float last_mouse_y = 0;
  Again again;
  std::vector<live::CutCard> undo;  ///< earlier cards, newest last
};

}  // namespace hushmill::dashboard
