#include "support/outside_sounds.hpp"

#include <algorithm>
#include <array>
#include <chrono>
#include <filesystem>
#include <stdexcept>

#include "capture/recording.hpp"
#include "support/child_process.hpp"
#include "support/temporary_folder.hpp"

namespace hushmill::test {
namespace {

namespace fs = std::filesystem;

constexpr const char* kSentences[] = {
    "The second pass is two millimetres deep, and the coolant goes on before the tool touches.",
    "Please bring the long end mill from the cabinet near the door, the one with three flutes.",
    "Why is it so loud over there? Somebody should have a look at the bearing.",
    "Aaaaah! Ooooh! Seven, eight, nine, ten.",
};

struct Voice {
  const char* name;
  int pitch;  // 0 to 99
};
constexpr Voice kVoices[] = {{"en-gb", 50}, {"en-us", 25}, {"en-gb-scotland", 80},
                             {"en+f3", 60}, {"de", 40},    {"fr+f4", 70}};

OutsideSound read(const fs::path& file, std::string name) {
  capture::Recording recording(file);
  OutsideSound sound{std::move(name), recording.sample_rate_hz(), {}};
  std::array<float, 4096> block{};
  while (!recording.ended()) {
    const std::size_t got = recording.read(block);
    sound.samples.insert(sound.samples.end(), block.begin(), block.begin() + static_cast<std::ptrdiff_t>(got));
  }
  if (sound.samples.empty()) throw std::runtime_error("file '" + file.string() + "' holds no sound");
  return sound;
}

void add_folder(const fs::path& folder, const std::string& ending, const std::string& package, OutsideSounds& all) {
  std::vector<fs::path> files;
  if (fs::is_directory(folder))
    for (const auto& entry : fs::directory_iterator(folder))
      if (entry.path().extension() == ending) files.push_back(entry.path());
  if (files.empty()) {
    all.missing.push_back(package);
    return;
  }
  std::sort(files.begin(), files.end());
  for (const fs::path& file : files) all.sounds.push_back(read(file, package + "/" + file.filename().string()));
}

void add_speech(OutsideSounds& all) {
  const TemporaryFolder folder;
  const fs::path file = folder / "speech.wav";
  for (const Voice& voice : kVoices) {
    int number = 0;
    for (const char* sentence : kSentences) {
      fs::remove(file);
      ChildProcess speaker(
          {.words = {"espeak-ng", "-v", voice.name, "-p", std::to_string(voice.pitch), "-w", file.string(), sentence}});
      const auto code = speaker.wait(std::chrono::seconds(20));
      if (code == 127) {
        all.missing.push_back("espeak-ng");
        return;
      }
      if (code != 0 || !fs::exists(file))
        throw std::runtime_error(std::string("espeak-ng did not speak with voice ") + voice.name);
      all.sounds.push_back(read(file, std::string("espeak-ng/") + voice.name + "-" + std::to_string(++number)));
    }
  }
}

}  // namespace

OutsideSounds outside_sounds() {
  OutsideSounds all;
  add_folder("/usr/share/sonic-pi/samples", ".flac", "sonic-pi-samples", all);
  add_folder("/usr/share/sounds/alsa", ".wav", "alsa-utils", all);
  add_speech(all);
  return all;
}

}  // namespace hushmill::test
