// The tap test as it runs beside a screen: a thread with the desk above. The owner sends commands and polls states;
// nobody waits.
#pragma once

#include <memory>

#include "live/tap_desk.hpp"

namespace hushmill::live {

class TapBench {
 public:
  TapBench(const TapBenchSettings& settings, std::unique_ptr<capture::Source> source);
  ~TapBench();
  TapBench(const TapBench&) = delete;
  TapBench& operator=(const TapBench&) = delete;

  bool send(const TapCommand& command);
  bool poll(TapState& state);

 private:
  struct Parts;
  std::unique_ptr<Parts> parts_;
};

}  // namespace hushmill::live
