#include "live/tap_bench.hpp"

#include <utility>

#include "live/desk_thread.hpp"

namespace hushmill::live {

struct TapBench::Parts : DeskThread<TapDesk, TapCommand, TapState> {
  using DeskThread::DeskThread;
};

TapBench::TapBench(const TapBenchSettings& settings, std::unique_ptr<capture::Source> source)
    : parts_(std::make_unique<Parts>(std::chrono::milliseconds(40), settings, std::move(source))) {}

TapBench::~TapBench() = default;

bool TapBench::send(const TapCommand& command) { return parts_->send(command); }
bool TapBench::poll(TapState& state) { return parts_->poll(state); }

}  // namespace hushmill::live
