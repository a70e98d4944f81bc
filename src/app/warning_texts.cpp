#include "app/warning_texts.hpp"

namespace hushmill::app {

std::string warning_text(listen::Warning warning) {
  using listen::Warning;
  switch (warning) {
    case Warning::bad_samples: return "The sound held samples that are no numbers; they were taken as silence.";
    case Warning::clipped: return "The sound is clipped; move the microphone away or turn its level down.";
    case Warning::silent: return "There is nothing but silence; check the microphone and its channel.";
    case Warning::no_room: return "Less than a second of room was heard before the cut; early alarms are less sure. Start listening sooner.";
    case Warning::speed_not_heard: return "The spindle speed cannot be told from the sound; the entered one was used.";
    case Warning::speed_differs: return "The sound says a spindle speed that differs from the entered one by more than half a percent.";
    case Warning::other_speed_fits: return "Another override step or flute count explains the sound far better than what was entered; check both.";
    case Warning::unexplained_tone: return "A tone could not be explained; it may be chatter.";
    case Warning::high_lobe: return "Many waves fit between two teeth; a change of speed buys little here.";
  }
  return "";
}

}  // namespace hushmill::app
