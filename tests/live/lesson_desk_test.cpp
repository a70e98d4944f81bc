// A lesson that runs: time, slow motion, recording. No loudspeaker, and the clock is the test's.
#include "live/lesson_desk.hpp"

#include <chrono>
#include <fstream>
#include <sstream>

#include "capture/recording.hpp"
#include "support/catch.hpp"
#include "support/temporary_folder.hpp"

using namespace hushmill;
using namespace hushmill::live;
using std::chrono::milliseconds;

namespace {

class Clocked {
 public:
  explicit Clocked(const LessonPlayerSettings& settings) : desk(settings, now_) { desk.make_if_wanted(); }

  LessonState run(int ms) {
    for (int i = 0; i < ms; i += 10) {
      now_ += milliseconds(10);
      desk.make_if_wanted();
      desk.step(now_);
    }
    LessonState state;
    desk.fill(state);
    return state;
  }

 private:
  Pace::Time now_{};

 public:
  LessonDesk desk;
};

}  // namespace

TEST_CASE("a lesson goes on with the clock, slower when slowed, not at all when stopped") {
  Clocked lesson({.sound = false});
  LessonState state = lesson.run(1000);
  CHECK_FALSE(state.making);
  CHECK_THAT(state.scene.t_s, test::WithinAbs(1, 0.02));
  lesson.desk.apply(SlowLesson{4});
  CHECK_THAT(lesson.run(1000).scene.t_s, test::WithinAbs(1.25, 0.02));
  lesson.desk.apply(PauseLesson{true});
  CHECK_THAT(lesson.run(500).scene.t_s, test::WithinAbs(1.25, 0.02));
  lesson.desk.apply(PauseLesson{false});
  lesson.desk.apply(SlowLesson{1});
  lesson.desk.apply(TurnControl{0, 440});
  lesson.desk.apply(TurnControl{77, 1});  // no such control
  state = lesson.run(100);
  CHECK(state.scene.controls[0].value == 440);
  lesson.desk.apply(ResetLesson{});
  state = lesson.run(10);
  CHECK(state.scene.t_s < 0.05);
  CHECK(state.scene.controls[0].value != 440);
  lesson.desk.apply(OpenLesson{lessons::Name::corner});
  CHECK(lesson.run(10).scene.name == lessons::Name::corner);
}

TEST_CASE("a lesson begins in its own time, after a reset and after a change, and old news is dropped") {
  const test::TemporaryFolder folder;
  Clocked lesson({.sound = false, .folder = folder.path()});
  lesson.run(50);
  lesson.desk.apply(SlowLesson{100});
  CHECK(lesson.run(50).slow == 100);
  lesson.desk.apply(ResetLesson{});
  CHECK(lesson.run(10).slow == 1);
  lesson.desk.apply(SlowLesson{20});
  lesson.desk.apply(RecordLesson{true});
  lesson.run(400);
  lesson.desk.apply(RecordLesson{false});
  CHECK(lesson.run(10).news.find("Kept") != std::string::npos);
  lesson.desk.apply(OpenLesson{lessons::Name::wavy_wall});
  LessonState state = lesson.run(1000);
  CHECK(state.slow == 1);
  CHECK(state.news.empty());
  CHECK_THAT(state.scene.t_s, test::WithinAbs(1, 0.02));
  // Without a change, too, news is old after a while.
  lesson.desk.apply(RecordLesson{true});
  lesson.desk.apply(RecordLesson{false});
  lesson.desk.apply(PauseLesson{true});
  CHECK_FALSE(lesson.run(1000).news.empty());
  CHECK(lesson.run(20000).news.empty());
  // The account of what was watched slowly says why it is short.
  std::ostringstream text;
  text << std::ifstream(folder / "forks-1.txt").rdbuf();
  CHECK(text.str().find("Time slowed 20 times") != std::string::npos);
}

TEST_CASE("a lesson is kept as a recording with its account beside it") {
  const test::TemporaryFolder folder;
  Clocked lesson({.sound = false, .folder = folder / "kept"});
  lesson.run(200);
  lesson.desk.apply(RecordLesson{true});
  lesson.desk.apply(TurnControl{0, 440});
  lesson.desk.apply(DoDeed{0});
  CHECK(lesson.run(2000).recording);
  lesson.desk.apply(RecordLesson{false});
  const LessonState state = lesson.run(10);
  CHECK_FALSE(state.recording);
  CHECK(state.news.find("forks-1.flac") != std::string::npos);
  using std::filesystem::perms;
  CHECK(std::filesystem::status(folder / "kept").permissions() == perms::owner_all);
  for (const char* name : {"forks-1.flac", "forks-1.txt"})
    CHECK(std::filesystem::status(folder / "kept" / name).permissions() == (perms::owner_read | perms::owner_write));
  capture::Recording recording(folder / "kept" / "forks-1.flac");
  std::vector<float> sound(200000);
  const std::size_t samples = recording.read(sound);
  CHECK(samples > 90000);
  CHECK(*std::max_element(sound.begin(), sound.end()) > 0.1F);  // the strike is in it
  std::ostringstream text;
  text << std::ifstream(folder / "kept" / "forks-1.txt").rdbuf();
  for (const char* words :
       {"Two forks", "Simulated", "Second fork: 440.0 Hz", "Strike the first fork", "Answered: ", "End"}) {
    INFO(words << " in\n" << text.str());
    CHECK(text.str().find(words) != std::string::npos);
  }
}

TEST_CASE("a lesson without a folder says that it cannot be kept, and goes on") {
  Clocked lesson({.sound = false});
  lesson.desk.apply(RecordLesson{true});
  const LessonState state = lesson.run(100);
  CHECK_FALSE(state.recording);
  CHECK(state.news.find("folder") != std::string::npos);
  CHECK(state.scene.t_s > 0.05);
}
