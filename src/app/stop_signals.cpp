#include "app/stop_signals.hpp"

#include <csignal>

namespace hushmill::app {
namespace {
volatile std::sig_atomic_t stop_asked = 0;  // a signal handler may touch nothing else
void on_stop_signal(int) { stop_asked = 1; }
}  // namespace

StopSignals::StopSignals() noexcept {
  stop_asked = 0;
  interrupt_before_ = std::signal(SIGINT, on_stop_signal);
  terminate_before_ = std::signal(SIGTERM, on_stop_signal);
}

StopSignals::~StopSignals() {
  std::signal(SIGINT, interrupt_before_);
  std::signal(SIGTERM, terminate_before_);
}

bool StopSignals::asked() noexcept { return stop_asked != 0; }

}  // namespace hushmill::app
