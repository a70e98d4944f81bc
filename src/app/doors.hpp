// The options that choose where the sound comes from, the same for the terminal monitor and the dashboard.
#pragma once

#include <memory>
#include <string>

#include "app/cut_options.hpp"
#include "app/rig_options.hpp"
#include "app/trial_options.hpp"
#include "capture/channel.hpp"
#include "capture/source.hpp"
#include "live/state.hpp"

namespace hushmill::app {

struct DoorTexts {
  std::string source = "microphone", file, device, channel;
  CutOptionTexts cut;
  RigOptionTexts rig;
  TrialOptionTexts trials;
};

void add_door_options(CLI::App& command, DoorTexts& texts);
/// --device and --channel alone.
void add_microphone_choice(CLI::App& command, std::string& device, std::string& channel, const char* group = "Options");
/// Throws UsageError for an option of another door than the one that was chosen.
void refuse_idle_of_door(const CLI::App& command, const DoorTexts& texts);

/// An opened door and the cut that is behind it.
struct Door {
  live::SourceKind kind = live::SourceKind::microphone;
  CutOptions cut;
  TrialOptions trials;
  std::unique_ptr<capture::Source> source;
};

/// Throws UsageError, capture::BadInput or capture::OutsideFailed.
Door open_door(const DoorTexts& texts);

/// "left", "right" or "mix".
capture::Channel parse_channel(const std::string& text);

}  // namespace hushmill::app
