// A lesson that runs: a thread that lets it go on at the speed of real sound, plays it, records it, and hands out
// states.
//
// As with Live: the owner sends commands and polls states, nobody waits for anybody. A loudspeaker or microphone that
// cannot be had is said in the state; the lesson goes on without it.
#pragma once

#include <cstdint>
#include <filesystem>
#include <memory>
#include <string>

#include "live/lesson_state.hpp"

namespace hushmill::live {

struct LessonPlayerSettings {
  lessons::Name name = lessons::Name::forks;
  std::uint64_t seed = 1;
  bool sound = true;               ///< false: no loudspeaker is opened
  std::string loudspeaker{};       ///< device, empty: the default
  std::string microphone{};        ///< for real forks
  std::filesystem::path folder{};  ///< recordings go there; empty: none can be made
};

class LessonPlayer {
 public:
  explicit LessonPlayer(const LessonPlayerSettings& settings);
  ~LessonPlayer();
  LessonPlayer(const LessonPlayer&) = delete;
  LessonPlayer& operator=(const LessonPlayer&) = delete;

  /// False when 64 are already waiting.
  bool send(const LessonCommand& command);
  /// Replaces `state` by the newest; false when there is none newer.
  bool poll(LessonState& state);

 private:
  struct Parts;
  std::unique_ptr<Parts> parts_;
};

}  // namespace hushmill::live
