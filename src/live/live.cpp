#include "live/live.hpp"

#include <algorithm>
#include <chrono>
#include <stdexcept>
#include <stop_token>
#include <string>
#include <thread>
#include <utility>

#include "live/listening.hpp"
#include "realtime/latest.hpp"
#include "realtime/ring.hpp"

namespace hushmill::live {
namespace {

using Clock = std::chrono::steady_clock;

constexpr std::size_t kLiveWaitingCommands = 64;
constexpr double kFewestStatesPerS = 1;
constexpr double kMostStatesPerS = 200;
constexpr std::chrono::milliseconds kLiveNap{3};  // when nothing is due; a fraction of one hop of the listener

Clock::duration period_of(double states_per_s) {
  if (!(states_per_s >= kFewestStatesPerS && states_per_s <= kMostStatesPerS)) {
    throw std::invalid_argument("states_per_s is " + std::to_string(states_per_s) + "; 1 to 200 would be right");
  }
  return std::chrono::duration_cast<Clock::duration>(std::chrono::duration<double>(1 / states_per_s));
}

}  // namespace

struct Live::Parts {
  Parts(const LiveSettings& settings, std::unique_ptr<capture::Source> source)
      : state_every(period_of(settings.states_per_s)), listening(settings, std::move(source), Clock::now()) {}

  void run(const std::stop_token& stop);
  void offer();

  Clock::duration state_every;
  realtime::Ring<Command> commands{kLiveWaitingCommands};
  Listening listening;
  realtime::Latest<State> states;
  std::jthread thread;  // last, so that it has ended before anything that it uses is gone
};

void Live::Parts::offer() {
  listening.fill(states.draft(), states.taken());
  states.publish();
}

void Live::Parts::run(const std::stop_token& stop) {
  auto next_state = Clock::now();
  while (!stop.stop_requested()) {
    bool more = false;
    try {
      Command command;
      while (commands.pop(command)) listening.apply(command);
      more = listening.step(Clock::now());
    } catch (const std::exception& failure) {
      listening.give_up(failure.what());
    }
    const auto now = Clock::now();
    if (now >= next_state) {
      offer();
      next_state = std::max(next_state + state_every, now);  // a stall is not made good by a burst of states
    }
    if (!more) std::this_thread::sleep_for(kLiveNap);
  }
}

Live::Live(const LiveSettings& settings, std::unique_ptr<capture::Source> source)
    : parts_(std::make_unique<Parts>(settings, std::move(source))) {
  parts_->thread = std::jthread([parts = parts_.get()](const std::stop_token& stop) { parts->run(stop); });
}

Live::~Live() = default;

bool Live::send(const Command& command) { return parts_->commands.push(command); }
bool Live::poll(State& state) { return parts_->states.take(state); }

}  // namespace hushmill::live
