#include "live/tap_bench.hpp"

#include <chrono>
#include <stop_token>
#include <thread>
#include <utility>

#include "realtime/latest.hpp"
#include "realtime/ring.hpp"

namespace hushmill::live {
namespace {

using Clock = std::chrono::steady_clock;

constexpr std::size_t kBenchWaitingCommands = 64;
constexpr std::chrono::milliseconds kBenchStateEvery{40};
constexpr std::chrono::milliseconds kBenchNap{4};

}  // namespace

struct TapBench::Parts {
  Parts(const TapBenchSettings& settings, std::unique_ptr<capture::Source> source)
      : desk(settings, std::move(source), Clock::now()) {}

  void run(const std::stop_token& stop) {
    auto next_state = Clock::now();
    while (!stop.stop_requested()) {
      TapCommand command;
      while (commands.pop(command)) desk.apply(command);
      const bool more = desk.step(Clock::now());
      const auto now = Clock::now();
      if (now >= next_state) {
        desk.fill(states.draft());
        states.publish();
        next_state = std::max(next_state + kBenchStateEvery, now);
      }
      if (!more) std::this_thread::sleep_for(kBenchNap);
    }
  }

  realtime::Ring<TapCommand> commands{kBenchWaitingCommands};
  TapDesk desk;
  realtime::Latest<TapState> states;
  std::jthread thread;  // last, so that it has ended before anything that it uses is gone
};

TapBench::TapBench(const TapBenchSettings& settings, std::unique_ptr<capture::Source> source)
    : parts_(std::make_unique<Parts>(settings, std::move(source))) {
  parts_->thread = std::jthread([parts = parts_.get()](const std::stop_token& stop) { parts->run(stop); });
}

TapBench::~TapBench() = default;

bool TapBench::send(const TapCommand& command) { return parts_->commands.push(command); }
bool TapBench::poll(TapState& state) { return parts_->states.take(state); }

}  // namespace hushmill::live
