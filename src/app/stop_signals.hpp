// The person or the system asks to stop: Ctrl-C, a logout, a shutdown. What runs then ends in order and keeps what it heard.
//
// While one lives, both signals only set a mark; afterwards they do what they did before. One at a time, main thread.
#pragma once

namespace hushmill::app {

class StopSignals {
 public:
  StopSignals() noexcept;
  ~StopSignals();
  StopSignals(const StopSignals&) = delete;
  StopSignals& operator=(const StopSignals&) = delete;

  static bool asked() noexcept;

 private:
  using Handler = void (*)(int);
  Handler interrupt_before_;
  Handler terminate_before_;
};

}  // namespace hushmill::app
