#include "app/offer.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <utility>

#include "app/keep_options.hpp"
#include "capture/audio_device.hpp"
#include "journal/folders.hpp"
#include "text/file_ending.hpp"

namespace hushmill::app {
namespace {

namespace fs = std::filesystem;

constexpr std::size_t kMostFiles = 40;

bool is_sound(const fs::path& file) {
  static constexpr std::array kEndings{".wav", ".flac", ".ogg", ".aiff", ".aif"};
  return std::find(kEndings.begin(), kEndings.end(), text::file_ending(file)) != kEndings.end();
}

void add_microphones(dashboard::Offer& offer) {
  try {
    for (const auto& device : capture::audio_devices()) {
      if (device.inputs < 1) continue;
      offer.microphones.insert(device.default_input ? offer.microphones.begin() : offer.microphones.end(), device.name);
    }
  } catch (const std::exception& failure) {
    offer.microphone_trouble = failure.what();
  }
}

void put(std::optional<std::string>& text, const std::optional<double>& value) {
  if (value) text = fmt::format("{}", *value);
}

}  // namespace

std::vector<std::string> sound_files(std::span<const fs::path> folders) {
  std::vector<std::pair<fs::file_time_type, std::string>> found;
  for (const fs::path& folder : folders) {
    std::error_code trouble;
    for (fs::directory_iterator at(folder, trouble), end; !trouble && at != end; at.increment(trouble)) {
      std::error_code ignored;
      if (at->is_regular_file(ignored) && is_sound(at->path())) found.emplace_back(at->last_write_time(ignored), at->path().string());
    }
  }
  std::sort(found.begin(), found.end(), [](const auto& a, const auto& b) { return a.first != b.first ? a.first > b.first : a.second < b.second; });
  std::vector<std::string> files;
  for (auto& [when, file] : found) {
    if (files.size() < kMostFiles) files.push_back(std::move(file));
  }
  return files;
}

dashboard::Offer make_offer(const std::string& data, std::optional<dashboard::Choice> last) {
  dashboard::Offer offer;
  offer.last = std::move(last);
  add_microphones(offer);
  std::vector<fs::path> folders;
  try {
    folders.push_back(data_folder(data) / journal::kRecordings);
  } catch (const UsageError&) {
    // no data folder, no recordings in it
  }
  std::error_code trouble;
  if (const fs::path here = fs::current_path(trouble); !trouble) {
    folders.push_back(here / "recordings");
    folders.push_back(here);
  }
  offer.recordings = sound_files(folders);
  return offer;
}

DoorTexts door_texts_for(const dashboard::Choice& choice, DoorTexts base) {
  const live::CutCard& card = choice.card;
  CutOptionTexts& cut = base.cut;
  put(cut.min_rpm, card.min_rpm);
  put(cut.max_rpm, card.max_rpm);
  put(cut.tool_max_rpm, card.tool_max_rpm);
  cut.knob_step_percent = fmt::format("{}", card.knob_step_percent);
  if (card.knob_min_percent && card.knob_max_percent) cut.override_range = fmt::format("{}:{}", *card.knob_min_percent, *card.knob_max_percent);
  if (choice.kind == live::SourceKind::rig) {  // its scene says the rest
    base.source = "rig";
    return base;
  }
  base.source = choice.kind == live::SourceKind::microphone ? "microphone" : "recording";
  base.device = choice.device;
  base.file = choice.file;
  cut.rpm = fmt::format("{}", card.entered_rpm());
  cut.programmed_rpm = fmt::format("{}", card.programmed_rpm);
  cut.flutes = fmt::format("{}", card.flutes);
  put(cut.diameter_mm, card.diameter_mm);
  put(cut.radial_mm, card.radial_mm);
  put(cut.depth_mm, card.depth_mm);
  put(cut.feed_mm_min, card.feed_mm_min);
  put(cut.damping_ratio, card.damping_ratio);
  if (card.milling) cut.milling = std::string(advise::word(*card.milling));
  return base;
}

}  // namespace hushmill::app
