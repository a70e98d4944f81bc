#include "app/keep_options.hpp"

#include <CLI/CLI.hpp>
#include <cstdio>
#include <thread>

#include "text/outside_text.hpp"
#include "journal/folders.hpp"
#include "live/close_broken_off.hpp"

namespace hushmill::app {

namespace {
constexpr std::size_t kLongestName = 200;

std::string name_of(const char* option, const std::string& text) {
  if (text.size() > kLongestName) throw UsageError(std::string(option) + " has " + std::to_string(text.size()) + " letters; at most 200 would be right");
  return text;
}

const char* word(live::SourceKind kind) {
  switch (kind) {
    case live::SourceKind::microphone: return "microphone";
    case live::SourceKind::recording: return "recording";
    case live::SourceKind::rig: return "rig";
  }
  return "";
}

std::string typed(const char* option, const std::optional<std::string>& text) {
  return text ? std::string(" ") + option + " " + *text : std::string();
}
}  // namespace

std::string settings_text(const CutOptionTexts& cut) {
  std::string text = typed("--rpm", cut.rpm) + typed("--flutes", cut.flutes) + typed("--programmed-rpm", cut.programmed_rpm) +
                     typed("--diameter-mm", cut.diameter_mm) + typed("--radial-mm", cut.radial_mm) + typed("--depth-mm", cut.depth_mm) +
                     typed("--milling", cut.milling) + typed("--feed-mm-min", cut.feed_mm_min) + typed("--min-rpm", cut.min_rpm) +
                     typed("--max-rpm", cut.max_rpm) + typed("--tool-max-rpm", cut.tool_max_rpm) +
                     typed("--holder-max-rpm", cut.holder_max_rpm) + typed("--surface-m-min", cut.surface_m_min) +
                     typed("--override-range", cut.override_range) + typed("--knob-step-percent", cut.knob_step_percent) +
                     typed("--damping-ratio", cut.damping_ratio) + typed("--taps", cut.taps) + typed("--pitch-deg", cut.pitch_deg) + typed("--diameter-in", cut.diameter_in) + typed("--radial-in", cut.radial_in) +
                     typed("--depth-in", cut.depth_in) + typed("--feed-in-min", cut.feed_in_min) + typed("--surface-ft-min", cut.surface_ft_min) + (cut.unequal_pitch ? " --unequal-pitch" : "");
  for (const auto& change : cut.rpm_at) text += " --rpm-at " + change;
  for (const auto& tap : cut.tap_tool) text += " --tap-tool " + tap;
  for (const auto& tap : cut.tap_part) text += " --tap-part " + tap;
  for (const auto& tried : cut.tried) text += " --tried " + tried;
  for (const auto& session : cut.tried_sessions) text += " --tried-session " + session;
  return text.empty() ? text : text.substr(1);
}

std::string settings_text(const DoorTexts& door) {
  std::string text = settings_text(door.cut) + settings_text(door.trials);
  if (!door.channel.empty()) text += " --channel " + door.channel;
  if (door.source != "rig") return text;
  const auto& rig = door.rig;
  text += " --source rig";
  text += " --scene " + rig.scene + (rig.setup.empty() ? std::string() : " --setup " + rig.setup);
  text += " --seed " + rig.seed.value_or("1") + typed("--feed-per-tooth-mm", rig.feed_per_tooth_mm) + typed("--feed-per-tooth-in", rig.feed_per_tooth_in) +
          typed("--sample-rate-hz", rig.rate_hz) + typed("--speed-error-percent", rig.speed_error_percent) + typed("--air-s", rig.air_s) +
          typed("--stick-out-mm", rig.mounting.stick_out_mm) + typed("--holder-times", rig.mounting.holder_times) +
          typed("--overhang-mm", rig.mounting.overhang_mm) + typed("--support-n-um", rig.mounting.support_n_um);
  for (const auto& [option, changes] : {std::pair{" --depth-at ", &rig.depth_at}, {" --radial-at ", &rig.radial_at}, {" --depth-at-in ", &rig.depth_at_in}, {" --radial-at-in ", &rig.radial_at_in}})
    for (const auto& change : *changes) text += option + change;
  return text.front() == ' ' ? text.substr(1) : text;
}

void add_keep_options(CLI::App& command, KeepTexts& texts, KeepFor who) {
  constexpr const char* kGroup = "What is kept";
  command.add_flag("--no-journal", texts.no_journal, "Write nothing into the journal")->group(kGroup);
  command.add_flag("--journal", texts.journal, "Do not listen without the journal")->group(kGroup);
  command.add_option("--record", texts.record, "Record the whole session: wav or flac")->type_name("KIND")->group(kGroup);
  if (who == KeepFor::dashboard)
    command.add_flag("--no-minute", texts.no_minute, "Do not hold the last minute of sound in memory")->group(kGroup);
  command.add_option("--data", texts.data, "Folder of the journal and its recordings, default the user's own")->type_name("FOLDER")->group(kGroup);
  command.add_option("--job", texts.job, "Job that this session belongs to")->type_name("NAME")->group(kGroup);
  command.add_option("--machine", texts.machine, "Machine, for the journal")->type_name("NAME")->group(kGroup);
  command.add_option("--tool", texts.tool, "Tool, for the journal")->type_name("NAME")->group(kGroup);
  command.add_option("--hold", texts.hold, "How the part is held, for the journal")->type_name("TEXT")->group(kGroup);
  command.add_option("--material", texts.material, "Material, for the journal")->type_name("NAME")->group(kGroup);
}

void add_journal_folder(CLI::App& command, std::string& data) {
  command.add_option("--data", data, "Folder of the journal, default the user's own")->type_name("FOLDER");
}

std::filesystem::path data_folder(const std::string& data) {
  if (!data.empty()) {
    std::error_code none;
    if (std::filesystem::exists(data, none) && !std::filesystem::is_directory(data, none))
      throw UsageError("--data is '" + data.substr(0, 200) + "', which is no folder; one for the journal would be right");
    return data;
  }
  if (const auto folder = journal::data_folder()) return *folder;
  throw UsageError("neither XDG_DATA_HOME nor HOME is set to a folder; --data with one would be right");
}

std::shared_ptr<live::Keeper> make_keeper(const KeepTexts& texts, const DoorTexts& door_texts, const Door& door,
                                          KeepFor who) {
  if (texts.journal && texts.no_journal) throw UsageError("--journal and --no-journal are both given; one of them would be right");
  live::KeepingSettings settings;
  settings.journal = !texts.no_journal;
  settings.record = !texts.record.empty();
  if (settings.record && texts.record != "wav" && texts.record != "flac")
    throw UsageError("--record is '" + texts.record.substr(0, 60) + "'; wav or flac would be right");
  if (settings.record && door.kind == live::SourceKind::recording)
    throw UsageError("--record is for sound that is heard live, and '" + door_texts.file.substr(0, 200) +
                     "' is a recording already; --source microphone or rig, or no --record, would be right");
  settings.sound_file = texts.record == "flac" ? live::SoundFile::flac : live::SoundFile::wav;
  settings.minute = who == KeepFor::dashboard && !texts.no_minute;
  if (!settings.journal && !settings.record && !settings.minute) return nullptr;
  settings.folder = data_folder(texts.data);
  settings.source_kind = word(door.kind);
  settings.source = door.source->name();
  settings.sample_rate_hz = door.source->sample_rate_hz();
  if (door.kind == live::SourceKind::recording) settings.listened = door_texts.file;
  settings.program_version = HUSHMILL_VERSION;
  settings.settings = settings_text(door_texts) + (texts.inches ? " --inches" : "");
  settings.job = name_of("--job", texts.job);
  settings.machine = name_of("--machine", texts.machine);
  settings.tool = name_of("--tool", texts.tool);
  settings.hold = name_of("--hold", texts.hold);
  settings.material = name_of("--material", texts.material);
  settings.card = door.cut.card();
  if (settings.record && !settings.journal)
    std::fprintf(stderr, "hushmill: recording into %s; without the journal no list knows the file and no rule deletes it\n", text::plain_line((settings.folder / journal::kRecordings).string()).c_str());
  try {
    // Beside it, what earlier sessions could not close: it may be hours of sound, and nobody waits for it.
    struct KeeperAndCloser {
      explicit KeeperAndCloser(const live::KeepingSettings& keeping) : keeper(keeping) {
        if (keeping.journal) closer = std::jthread([folder = keeping.folder](const std::stop_token& stop) { live::close_broken_off(folder, stop); });
      }
      live::Keeper keeper;
      std::jthread closer;
    };
    auto both = std::make_shared<KeeperAndCloser>(settings);
    return {both, &both->keeper};
  } catch (const std::exception& error) {
    if (texts.journal || settings.record) throw;
    std::fprintf(stderr, "hushmill: %s; listening without keeping anything\n", text::plain_line(error.what()).c_str());
    return nullptr;
  }
}

}  // namespace hushmill::app
