// A source whose every move the test decides.
#pragma once

#include <algorithm>
#include <cstdint>
#include <optional>
#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

#include "capture/source.hpp"

namespace hushmill::test {

/// What the test and the source share: the source itself belongs to the instrument.
struct Script {
  std::vector<float> sound;  ///< what is there to be read
  std::size_t at = 0;
  bool ended = false;  ///< ended once all was read
  bool back_on_reopen = false;
  int reopen_calls = 0;
  std::uint64_t lost = 0;
  std::optional<capture::Gap> gap;
  std::string trouble;
  bool fails = false;  ///< read() throws
};

class ScriptedSource : public capture::Source {
 public:
  ScriptedSource(Script& script, double sample_rate_hz) : script_(script), rate_hz_(sample_rate_hz) {}
  double sample_rate_hz() const noexcept override { return rate_hz_; }
  std::string name() const override { return "scripted"; }
  std::size_t read(std::span<float> samples) override;
  bool ended() const noexcept override { return script_.ended && script_.at == script_.sound.size(); }
  std::uint64_t lost_samples() const noexcept override { return script_.lost; }
  std::optional<capture::Gap> take_gap() override { return std::exchange(script_.gap, std::nullopt); }
  std::string trouble() const override { return script_.trouble; }
  bool reopen() override;

 private:
  Script& script_;
  double rate_hz_;
};

}  // namespace hushmill::test
