// The past of the instrument, frame by frame, so that a screen can show any moment of it again.
//
// A frame is a whole State but for two things: spectra are kept in half decibels from -127.5 dBFS up (they are only
// drawn), and of what is kept of the sound nothing is said. Bounded: when the memory is used up, every second frame
// goes, but never the one at which the verdict changed. Time must not run backwards; a state from before the last one
// begins a new film. One thread at a time.
#pragma once

#include <cstdint>
#include <memory>
#include <vector>

#include "live/state.hpp"

namespace hushmill::live {

class Film {
 public:
  explicit Film(double frames_per_s = 20, std::size_t most_bytes = std::size_t{96} << 20);

  /// Keeps the state, unless it is nearer to the last one than a frame and of the same verdict.
  void add(const State& state);
  void clear();

  bool empty() const noexcept { return frames_.empty(); }
  std::size_t size() const noexcept { return frames_.size(); }
  double from_s() const noexcept { return frames_.empty() ? 0 : frames_.front().snapshot.t_s; }
  double to_s() const noexcept { return frames_.empty() ? 0 : frames_.back().snapshot.t_s; }
  /// How far frames lie apart by now.
  double every_s() const noexcept { return every_s_; }
  std::size_t bytes() const noexcept { return bytes_; }

  /// The newest frame at or before that time, else the first. There must be one.
  std::size_t index_at(double t_s) const noexcept;
  double time_of(std::size_t index) const noexcept { return frames_[index].snapshot.t_s; }
  /// Fills all of `state` but `keeping` and `check`, which are empty.
  void show(std::size_t index, State& state) const;

 private:
  using Levels = std::vector<std::uint8_t>;
  struct Frame {
    listen::Snapshot snapshot;  // without its spectra
    Levels spectrum;
    std::shared_ptr<const Levels> room;
    std::vector<listen::Episode> episodes;  // those that may still change
    std::vector<trial::Trial> trials;       // the same
    CutCard card;
    std::optional<rig::RigControls> rig;
    std::shared_ptr<const State> rest;  // what seldom changes
    std::size_t bytes = 0;
  };

  std::shared_ptr<const State> rest_of(const State& state, std::size_t episodes, std::size_t trials);
  void thin_out();

  double first_every_s_;
  double every_s_;
  std::size_t most_bytes_;
  std::size_t bytes_ = 0;
  std::vector<Frame> frames_;
};

}  // namespace hushmill::live
