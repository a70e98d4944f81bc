#include "live/lesson_recording.hpp"

#include <fstream>
#include <string>

#include "capture/errors.hpp"
#include "journal/folders.hpp"
#include "lessons/lesson.hpp"

namespace hushmill::live {

LessonRecording::LessonRecording(const std::filesystem::path& file, const lessons::Scene& scene)
    : file_(file),
      account_(scene),
      writer_(file, {.sample_rate_hz = lessons::kSampleRateHz,
                     .comment = "simulated, lesson " + std::string(lessons::word(scene.name))}) {}

void LessonRecording::write(std::span<const float> sound) { writer_.write(sound); }

double LessonRecording::seconds() const noexcept {
  return static_cast<double>(writer_.frames_written()) / lessons::kSampleRateHz;
}

void LessonRecording::close() {
  writer_.close();
  auto beside = file_;
  beside.replace_extension(".txt");
  journal::make_private_file(beside);
  std::ofstream text(beside);
  text << account_.text();
  text.close();
  if (!text) throw capture::OutsideFailed("the account '" + beside.string() + "' could not be written");
}

std::filesystem::path free_lesson_file(const std::filesystem::path& folder, lessons::Name name) {
  journal::make_private_folder(folder.parent_path());
  journal::make_private_folder(folder);
  for (int number = 1;; ++number) {
    auto file = folder / (std::string(lessons::word(name)) + "-" + std::to_string(number) + ".flac");
    if (std::filesystem::exists(file)) continue;
    journal::make_private_file(file);
    return file;
  }
}

}  // namespace hushmill::live
