// The lesson player's work without its thread: commands in, a lesson that goes on, sound to loudspeaker and file. The
// caller brings the time, so tests need none. Commands that fail leave a line of news and change nothing.
#pragma once

#include <array>
#include <memory>
#include <optional>
#include <vector>

#include "capture/loudspeaker.hpp"
#include "capture/microphone.hpp"
#include "lessons/lesson.hpp"
#include "live/lesson_player.hpp"
#include "live/lesson_recording.hpp"
#include "live/pace.hpp"

namespace hushmill::live {

class LessonDesk {
 public:
  LessonDesk(const LessonPlayerSettings& settings, Pace::Time start);
  ~LessonDesk();

  void apply(const LessonCommand& command);
  /// Goes on as far as the time allows. True when something was done.
  bool step(Pace::Time now);
  /// Sets the lesson up where one was asked for; takes a moment for one with a chart.
  void make_if_wanted();
  bool wants_making() const noexcept { return wanted_.has_value(); }
  void fill(LessonState& state) const;

 private:
  void go_on(std::size_t samples);
  void hear_microphone(bool on);
  void slow(double times);
  void say(std::string news);
  void record(bool on);
  void end_recording();
  void set_volume();

  LessonPlayerSettings settings_;
  std::optional<lessons::Name> wanted_;
  std::unique_ptr<lessons::Lesson> lesson_;
  std::unique_ptr<capture::Loudspeaker> loudspeaker_;
  std::unique_ptr<capture::Microphone> microphone_;
  std::unique_ptr<LessonRecording> recording_;
  Pace pace_;
  bool paused_ = false, spoken_over_ = false;
  double slow_ = 1, volume_ = 1, left_over_ = 0;
  std::vector<float> lesson_sound_, played_;
  std::array<float, 2> last_{};  // the samples before, for slowed sound
  std::string news_, trouble_;
  std::optional<Pace::Time> news_from_;  // it is old news after a while
};

}  // namespace hushmill::live
