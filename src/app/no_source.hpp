// What stands in the place of a microphone that cannot be had: no sound, and the reason why. A screen can then say it and be left.
#pragma once

#include <string>
#include <utility>

#include "capture/source.hpp"

namespace hushmill::app {

class NoSource : public capture::Source {
 public:
  explicit NoSource(std::string reason) : reason_(std::move(reason)) {}
  double sample_rate_hz() const noexcept override { return 48000; }
  std::string name() const override { return "no microphone"; }
  std::size_t read(std::span<float>) override { return 0; }
  bool ended() const noexcept override { return true; }
  std::string trouble() const override { return reason_; }

 private:
  std::string reason_;
};

}  // namespace hushmill::app
