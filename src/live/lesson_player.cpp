#include "live/lesson_player.hpp"

#include <chrono>
#include <stop_token>
#include <thread>

#include "live/lesson_desk.hpp"
#include "realtime/latest.hpp"
#include "realtime/ring.hpp"

namespace hushmill::live {
namespace {

using Clock = std::chrono::steady_clock;

constexpr std::size_t kLessonWaitingCommands = 64;
constexpr std::chrono::milliseconds kLessonStateEvery{25};
constexpr std::chrono::milliseconds kLessonNap{3};

}  // namespace

struct LessonPlayer::Parts {
  explicit Parts(const LessonPlayerSettings& settings) : desk(settings, Clock::now()) {}

  void offer() {
    desk.fill(states.draft());
    states.publish();
  }

  void run(const std::stop_token& stop) {
    auto next_state = Clock::now();
    while (!stop.stop_requested()) {
      LessonCommand command;
      while (commands.pop(command)) desk.apply(command);
      if (desk.wants_making()) {
        offer();  // so that the screen can say what it waits for
        desk.make_if_wanted();
      }
      const bool more = desk.step(Clock::now());
      const auto now = Clock::now();
      if (now >= next_state) {
        offer();
        next_state = std::max(next_state + kLessonStateEvery, now);
      }
      if (!more) std::this_thread::sleep_for(kLessonNap);
    }
  }

  realtime::Ring<LessonCommand> commands{kLessonWaitingCommands};
  LessonDesk desk;
  realtime::Latest<LessonState> states;
  std::jthread thread;  // last, so that it has ended before anything that it uses is gone
};

LessonPlayer::LessonPlayer(const LessonPlayerSettings& settings) : parts_(std::make_unique<Parts>(settings)) {
  parts_->thread = std::jthread([parts = parts_.get()](const std::stop_token& stop) { parts->run(stop); });
}

LessonPlayer::~LessonPlayer() = default;

bool LessonPlayer::send(const LessonCommand& command) { return parts_->commands.push(command); }
bool LessonPlayer::poll(LessonState& state) { return parts_->states.take(state); }

}  // namespace hushmill::live
