// The greeting: three ways to begin (this microphone, a recording, the simulator), so that nobody meets an empty screen.
//
// State and rules without a window: what is offered, what is chosen and typed so far, what a key does. The dashboard
// keeps it in its view state while it is shown; what comes out is a `Choice`, which the application opens.
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "dashboard/line_editor.hpp"
#include "dashboard/units.hpp"
#include "live/cut_card.hpp"
#include "live/state.hpp"

namespace hushmill::dashboard {

/// Where the sound shall come from, and of what cut.
struct Choice {
  live::SourceKind kind = live::SourceKind::rig;
  std::string device;  ///< name of the microphone; empty: the system's own choice
  std::string file;    ///< of the recording
  live::CutCard card;
};

/// What there is to choose from.
struct Offer {
  std::vector<std::string> microphones;  ///< names, the system's own choice first
  std::string microphone_trouble;        ///< why there is none
  std::vector<std::string> recordings;   ///< sound files with their folders, newest first
  std::optional<Choice> last;            ///< what was listened to last time
};

enum class GreetingField { card, path, speed, flutes };

struct Greeting {
  Offer offer;
  std::string trouble;     ///< one line: why it could not begin
  bool may_leave = false;  ///< something is running behind it, so Esc goes back
  live::SourceKind card = live::SourceKind::microphone;
  GreetingField field = GreetingField::card;  ///< where the keys go
  std::size_t microphone = 0, recording = 0;  ///< chosen in the lists
  LineEditor path{400}, speed, flutes;
  bool open_wanted = false;
};

/// With the last choice, if any, already filled in.
Greeting make_greeting(Offer offer, std::string trouble, bool may_leave);
/// A newer offer (a microphone was plugged in); what was chosen and typed stays.
void renew(Greeting& greeting, Offer offer);

/// The fields of a card, in the order of the Tab key.
std::span<const GreetingField> fields_of(live::SourceKind card) noexcept;
void choose_card(Greeting& greeting, live::SourceKind card);
void choose_row(Greeting& greeting, std::size_t row);
void go_to(Greeting& greeting, GreetingField field);
/// One key; true when it was for the greeting.
bool press(Greeting& greeting, const std::string& key);
void type(Greeting& greeting, char32_t character);
/// A file was dropped on the window.
void drop_file(Greeting& greeting, const std::string& file);

/// What is chosen, or none with `trouble` telling what is missing and `field` standing there.
std::optional<Choice> choice_of(Greeting& greeting);

}  // namespace hushmill::dashboard
