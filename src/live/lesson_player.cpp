#include "live/lesson_player.hpp"

#include "live/desk_thread.hpp"
#include "live/lesson_desk.hpp"

namespace hushmill::live {

struct LessonPlayer::Parts : DeskThread<LessonDesk, LessonCommand, LessonState> {
  using DeskThread::DeskThread;
};

LessonPlayer::LessonPlayer(const LessonPlayerSettings& settings)
    : parts_(std::make_unique<Parts>(std::chrono::milliseconds(25), settings)) {}

LessonPlayer::~LessonPlayer() = default;

bool LessonPlayer::send(const LessonCommand& command) { return parts_->send(command); }
bool LessonPlayer::poll(LessonState& state) { return parts_->poll(state); }

}  // namespace hushmill::live
