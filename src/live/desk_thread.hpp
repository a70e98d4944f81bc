// A desk (lessons, taps) with a thread of its own: commands in, states out, and nobody waits for anybody.
//
// The desk does the work and knows no thread; this loop brings it the time. The thread that owns it sends and polls.
#pragma once

#include <algorithm>
#include <chrono>
#include <cstddef>
#include <stop_token>
#include <thread>
#include <utility>

#include "realtime/latest.hpp"
#include "realtime/ring.hpp"

namespace hushmill::live {

template <class Desk, class Command, class State>
class DeskThread {
  using Clock = std::chrono::steady_clock;

 public:
  /// `more` goes to the desk's constructor, before the time; throws what that throws.
  template <class... More>
  explicit DeskThread(std::chrono::milliseconds state_every, More&&... more)
      : state_every_(state_every), desk_(std::forward<More>(more)..., Clock::now()) {
    thread_ = std::jthread([this](const std::stop_token& stop) { run(stop); });
  }

  /// False when 64 commands are already waiting.
  bool send(const Command& command) { return commands_.push(command); }
  /// False when there is no newer state.
  bool poll(State& state) { return states_.take(state); }

 private:
  static constexpr std::size_t kWaitingCommands = 64;
  static constexpr std::chrono::milliseconds kNap{3};

  void offer() {
    desk_.fill(states_.draft());
    states_.publish();
  }

  void run(const std::stop_token& stop) {
    auto next_state = Clock::now();
    while (!stop.stop_requested()) {
      Command command;
      while (commands_.pop(command)) desk_.apply(command);
      if constexpr (requires(Desk& desk) { desk.make_if_wanted(); }) {
        if (desk_.wants_making()) {
          offer();  // so that the screen can say what it waits for
          desk_.make_if_wanted();
        }
      }
      const bool more = desk_.step(Clock::now());
      const auto now = Clock::now();
      if (now >= next_state) {
        offer();
        next_state = std::max(next_state + state_every_, now);
      }
      if (!more) std::this_thread::sleep_for(kNap);
    }
  }

  std::chrono::milliseconds state_every_;
  realtime::Ring<Command> commands_{kWaitingCommands};
  Desk desk_;
  realtime::Latest<State> states_;
  std::jthread thread_;  // last, so that it has ended before anything that it uses is gone
};

}  // namespace hushmill::live
