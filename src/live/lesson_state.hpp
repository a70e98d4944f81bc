// What a screen knows of a running lesson, and what it may ask of it. Plain values.
#pragma once

#include <string>
#include <variant>

#include "lessons/scene.hpp"

namespace hushmill::live {

inline constexpr double kSlowestHeard = 4;  ///< times; slower than that there is nothing left to hear

struct LessonState {
  lessons::Scene scene;
  bool making = true;  ///< the lesson is being set up (a chart is worked out); the scene is an earlier one or empty
  bool paused = false;
  double slow = 1;           ///< so many times slower than real
  double volume = 1;         ///< 0: silent
  bool spoken_over = false;  ///< turned down so that a person can talk
  bool microphone = false;   ///< real sound instead of the simulation
  bool recording = false;
  double recorded_s = 0;
  std::string news;     ///< what was kept last, or what went wrong: one line
  std::string trouble;  ///< of loudspeaker or microphone; empty when there is none
};

struct OpenLesson {
  lessons::Name name = lessons::Name::forks;
};
struct TurnControl {
  std::size_t control = 0;
  double value = 0;
};
struct DoDeed {
  std::size_t deed = 0;
};
struct PauseLesson {
  bool paused = true;
};
struct SlowLesson {
  double times = 1;
};  ///< 1 to 400
struct ResetLesson {};
struct LessonVolume {
  double volume = 1;
};
struct SpeakOver {
  bool on = true;
};
struct RecordLesson {
  bool on = true;
};
/// Real forks: listen to the microphone, or go back to the simulation.
struct HearForks {
  bool on = true;
};

using LessonCommand = std::variant<OpenLesson, TurnControl, DoDeed, PauseLesson, SlowLesson, ResetLesson, LessonVolume,
                                   SpeakOver, RecordLesson, HearForks>;

}  // namespace hushmill::live
