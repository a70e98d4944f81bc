// The sound of a replay: one recording, or the pieces of a session one after the other, as one source that can be
// halted at a sample and wound. Throws what opening a recording throws, and capture::BadInput for pieces of different
// sample rates. Reads the disk. One thread.
#pragma once

#include <cstdint>
#include <filesystem>
#include <memory>
#include <string>
#include <vector>

#include "capture/recording.hpp"
#include "capture/source.hpp"

namespace hushmill::live {

class ReplaySound : public capture::Source {
 public:
  explicit ReplaySound(const std::vector<std::filesystem::path>& files,
                       capture::Channel channel = capture::Channel::mix);

  double sample_rate_hz() const noexcept override { return rate_hz_; }
  std::string name() const override;
  std::size_t read(std::span<float> samples) override;
  bool ended() const noexcept override;
  std::string trouble() const override { return trouble_; }
  capture::SidesFault sides_fault() const noexcept override { return pieces_[piece_]->sides_fault(); }

  /// read() hands out nothing from this sample on, until it is set further.
  void halt_at(std::uint64_t sample) noexcept { halt_at_ = sample; }
  /// Samples handed out, or where it was wound to.
  std::uint64_t at() const noexcept { return at_; }
  /// By the headers; 0 when they do not know.
  std::uint64_t stated_samples() const noexcept { return stated_; }
  /// False when it cannot be wound; then it stands where it stood.
  bool seek(std::uint64_t sample);

 private:
  std::vector<std::unique_ptr<capture::Recording>> pieces_;
  std::size_t piece_ = 0;
  double rate_hz_ = 0;
  std::uint64_t at_ = 0, stated_ = 0;
  std::uint64_t halt_at_ = ~std::uint64_t{0};
  std::string trouble_;
};

}  // namespace hushmill::live
