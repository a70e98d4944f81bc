#include "app/lesson_command.hpp"

#include <CLI/CLI.hpp>
#include <cstdio>
#include <memory>
#include <string>
#include <vector>

#include "app/idle_options.hpp"
#include "app/lesson_script.hpp"
#include "app/option_text.hpp"
#include "app/out_file.hpp"
#include "app/window_options.hpp"
#include "capture/errors.hpp"
#include "text/outside_text.hpp"
#include "dashboard/lessons_window.hpp"
#include "journal/folders.hpp"
#include "lessons/lesson.hpp"
#include "live/lesson_player.hpp"
#include "live/lesson_recording.hpp"

namespace hushmill::app {

namespace {
constexpr double kPieceS = 0.05;

struct LessonTexts {
  std::string name = "forks", out, folder, loudspeaker, microphone, seed = "1";
  std::vector<std::string> turns, deeds;
  WindowTexts window;
  bool large_text = false, silent = false;
};

lessons::Name parse_name(const std::string& text) {
  if (const auto name = lessons::name_of(text)) return *name;
  std::string words;
  for (const auto name : lessons::kNames) words += (words.empty() ? "" : ", ") + std::string(lessons::word(name));
  throw UsageError("there is no lesson '" + text.substr(0, 60) + "'; one of " + words + " would be right");
}

// As fast as it goes, by the script alone.
int write(const LessonTexts& texts, lessons::Name name, const std::vector<LessonStep>& script, std::uint64_t seed) {
  const double for_s = texts.window.for_s ? parse_number("--for-s", *texts.window.for_s, 0.1, 36000) : 20.0;
  const auto lesson = lessons::make_lesson(name, seed);
  live::LessonRecording recording(texts.out, lesson->scene());
  std::vector<float> piece(static_cast<std::size_t>(kPieceS * lessons::kSampleRateHz));
  std::size_t next = 0;
  for (double t_s = 0; t_s < for_s - 1e-9; t_s += kPieceS) {
    for (; next < script.size() && script[next].at_s <= t_s + 1e-9; ++next) {
      const auto& step = script[next];
      const lessons::Scene before = lesson->scene();
      if (step.value ? lesson->set(step.which, *step.value) : lesson->act(step.which)) {
        if (step.value) recording.account().turned(lesson->scene(), step.which);
        else recording.account().done(before, step.which);
      }
    }
    lesson->process(piece);
    recording.write(piece);
    recording.account().look(lesson->scene());
  }
  recording.close();
  const lessons::Scene scene = lesson->scene();
  for (const auto& task : scene.tasks) std::printf("%s %s\n    %s\n", task.solved ? "[answered]" : "[open]    ", task.question.c_str(), task.found.c_str());
  std::printf("%s: %.1f s of the lesson '%s', its account beside it\n", text::plain_line(texts.out).c_str(), recording.seconds(), std::string(lessons::title(name)).c_str());
  return 0;
}

int show(const LessonTexts& texts, lessons::Name name, const std::vector<LessonStep>& script, std::uint64_t seed) {
  dashboard::LessonsSettings settings;
  settings.large_text = texts.large_text;
  take_window(texts.window, settings.window);
  settings.window.title = "Hushmill lessons";
  live::LessonPlayerSettings playing{.name = name, .seed = seed, .sound = !texts.silent, .loudspeaker = texts.loudspeaker, .microphone = texts.microphone, .folder = texts.folder};
  if (playing.folder.empty())
    if (const auto data = journal::data_folder()) playing.folder = *data / "lessons";
  live::LessonPlayer player(playing);
  std::size_t next = 0;
  const auto poll = [&](live::LessonState& state) {
    if (!player.poll(state)) return false;
    for (; next < script.size() && !state.making && script[next].at_s <= state.scene.t_s; ++next) {
      const auto& step = script[next];
      if (step.value) player.send(live::TurnControl{step.which, *step.value});
      else player.send(live::DoDeed{step.which});
    }
    return true;
  };
  try {
    return dashboard::run_lessons(settings, {poll, [&](const live::LessonCommand& command) { return player.send(command); }});
  } catch (const dashboard::NoDisplay& error) {
    throw capture::OutsideFailed(std::string(error.what()) + "; without a display, --out FILE writes a lesson to a sound file");
  }
}
}  // namespace

void show_lessons(const dashboard::DashboardSettings& window) {
  live::LessonPlayerSettings playing;
  if (const auto data = journal::data_folder()) playing.folder = *data / "lessons";
  live::LessonPlayer player(playing);
  dashboard::run_lessons({window, false}, {[&](live::LessonState& state) { return player.poll(state); }, [&](const live::LessonCommand& command) { return player.send(command); }});
}

void add_lesson(CLI::App& app, std::function<int()>& run) {
  auto texts = std::make_shared<LessonTexts>();
  auto* command = app.add_subcommand("lesson", "Lessons with a simulated cut: forks, wavy-wall, lobes, lower-or-higher, corner");
  command->footer("Examples: hushmill lesson lobes\n          hushmill lesson forks --turn 1:1:440 --do 1.1:1 --for-s 6 --out forks.flac");
  command->add_option("name", texts->name, "forks, wavy-wall, lobes, lower-or-higher or corner")->type_name("NAME")->capture_default_str();
  command->add_flag("--large-text", texts->large_text, "Larger text, for a projector");
  command->add_flag("--silent", texts->silent, "No sound from the loudspeaker");
  command->add_option("--loudspeaker", texts->loudspeaker, "Loudspeaker by number or part of its name (see hushmill devices)")->type_name("NAME");
  command->add_option("--microphone", texts->microphone, "Microphone for real forks, by number or part of its name")->type_name("NAME");
  command->add_option("--folder", texts->folder, "Where recordings of lessons go; default the user's data folder")->type_name("FOLDER");
  command->add_option("--seed", texts->seed, "Of noise and room")->type_name("N")->capture_default_str();
  command->add_option("--turn", texts->turns, "At S seconds turn control N to VALUE; may be repeated")->type_name("S:N:VALUE");
  command->add_option("--do", texts->deeds, "At S seconds do what is listed as number N; may be repeated")->type_name("S:N");
  command->add_option("--out", texts->out, "Without a window: write sound and account to this .flac or .wav")->type_name("FILE");
  add_window_options(*command, texts->window, "The window", "Close after this many seconds; with --out, the length of the sound, default 20");
  command->callback([texts, command, &run] {
    run = [texts, command] {
      if (!texts->out.empty()) {
        check_out_file("--out", texts->out, {".flac", ".wav"});
        refuse_idle(*command, {"--large-text", "--silent", "--loudspeaker", "--microphone", "--folder", "--size", "--scale", "--light", "--full-screen", "--screenshot", "--screenshot-after-s", "--drawn-text"},
                    "the window instead of --out");
      }
      const auto name = parse_name(texts->name);
      const auto script = lesson_script(texts->turns, texts->deeds);
      const auto seed = static_cast<std::uint64_t>(parse_whole("--seed", texts->seed, 0, 1000000000));
      if (!script.empty()) check_script(script, *lessons::make_lesson(name, seed));
      return texts->out.empty() ? show(*texts, name, script, seed) : write(*texts, name, script, seed);
    };
  });
}

}  // namespace hushmill::app
