#include "app/doors.hpp"

#include <CLI/CLI.hpp>

#include "app/idle_options.hpp"
#include "app/kept_trials.hpp"
#include "capture/microphone.hpp"
#include "capture/recording.hpp"

namespace hushmill::app {

namespace {
capture::Channel channel_or(const std::string& text, capture::Channel otherwise) {
  return text.empty() ? otherwise : parse_channel(text);
}
}  // namespace

capture::Channel parse_channel(const std::string& text) {
  if (text == "left") return capture::Channel::left;
  if (text == "right") return capture::Channel::right;
  if (text == "mix") return capture::Channel::mix;
  throw UsageError("--channel is '" + text.substr(0, 60) + "'; left, right or mix would be right");
}

void add_microphone_choice(CLI::App& command, std::string& device, std::string& channel, const char* group) {
  command.add_option("--device", device, "Microphone by number or part of its name (see hushmill devices)")->type_name("NAME")->group(group);
  command.add_option("--channel", channel, "left, right or mix, of a source with two")->type_name("WHICH")->group(group);
}

void refuse_idle_of_door(const CLI::App& command, const DoorTexts& texts) {
  if (texts.source == "rig") refuse_idle(command, {"--device", "--channel"}, "--source microphone");
  if (texts.source == "recording") refuse_idle(command, {"--device"}, "--source microphone");
  if (texts.source != "rig") refuse_idle_groups(command, {kRigGroup, kMountingGroup}, "--source rig");
}

void add_door_options(CLI::App& command, DoorTexts& texts) {
  constexpr const char* kGroup = "Where the sound comes from";
  command.add_option("--source", texts.source, "microphone, recording or rig (the simulated machine)")->type_name("DOOR")->group(kGroup)->capture_default_str();
  command.add_option("--file", texts.file, "Sound file, for --source recording")->type_name("FILE")->group(kGroup);
  add_microphone_choice(command, texts.device, texts.channel, kGroup);
  add_cut_options(command, texts.cut, CutNeeds::nothing, true);
  add_trial_options(command, texts.trials);
  add_rig_options(command, texts.rig, false);
}

Door open_door(const DoorTexts& texts) {
  Door door;
  if (!texts.file.empty() && texts.source != "recording")
    throw UsageError("--file is '" + texts.file.substr(0, 200) + "' while the sound comes from the " + texts.source.substr(0, 60) +
                     "; --source recording with it would be right");
  door.trials = trial_options(texts.trials);
  if (texts.source == "rig") {
    const auto scene = rig_options(texts.rig, std::nullopt, {}).settings;
    door.kind = live::SourceKind::rig;
    door.cut = cut_options(texts.cut, scene.start.spindle_rpm, scene.model.cutter.flutes);
    auto& cut = door.cut;
    if (!cut.diameter_mm) cut.diameter_mm = scene.model.cutter.diameter_mm;
    if (!cut.feed_mm_min) cut.feed_mm_min = scene.start.feed_per_tooth_mm * cut.flutes * cut.programmed_rpm.value_or(cut.spindle_rpm);
    door.source = make_rig_source(texts.rig, cut);
    if (!cut.radial_mm) cut.radial_mm = scene.start.radial_mm;
    if (!cut.milling) cut.milling = scene.milling == cutting::Milling::climb ? advise::Milling::climb : advise::Milling::conventional;
    if (const auto& pitch_deg = scene.model.cutter.pitch_deg; cut.pitch_deg.empty() && pitch_deg.size() == static_cast<std::size_t>(cut.flutes)) {
      cut.pitch_deg = pitch_deg;
      cut.unequal_pitch = cut.unequal_pitch || cut.comb_flutes() < cut.flutes;
    }
    take_kept_trials(texts.cut, cut);
    return door;
  }
  if (texts.source != "microphone" && texts.source != "recording")
    throw UsageError("--source is '" + texts.source.substr(0, 60) + "'; microphone, recording or rig would be right");
  need_speed_and_flutes(texts.cut, texts.source == "recording" ? "" : " or the simulated machine, --source rig,");
  door.cut = cut_options(texts.cut);
  take_kept_trials(texts.cut, door.cut);
  if (texts.source == "recording") {
    if (texts.file.empty()) throw UsageError("--file is missing; a sound file, as --source recording --file cut.flac, would be right");
    door.kind = live::SourceKind::recording;
    door.source = std::make_unique<capture::Recording>(texts.file, channel_or(texts.channel, capture::Channel::mix));
  } else {
    door.kind = live::SourceKind::microphone;
    door.source = std::make_unique<capture::Microphone>(
        capture::MicrophoneSettings{.device = texts.device, .channel = channel_or(texts.channel, capture::Channel::left)});
  }
  return door;
}

}  // namespace hushmill::app
