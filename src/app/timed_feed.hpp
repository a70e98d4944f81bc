// Feeds a listener and its trials hop by hop, with the changes of the entered speed at their exact samples: the one way
// in which a review and the terminal monitor hear, so that they cannot differ.
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "app/option_text.hpp"
#include "listen/listener.hpp"
#include "trial/trial_book.hpp"

namespace hushmill::app {

class TimedFeed {
 public:
  /// `changes`: seconds and new speed, in order of time. Listener and book must outlive the feed.
  TimedFeed(listen::Listener& listener, trial::TrialBook& book, double sample_rate_hz, const std::vector<TimedValue>& changes);

  /// Any number of samples: how they are cut into blocks changes nothing.
  void hear(std::span<const float> samples);
  /// The sound has ended.
  void finish();

  std::int64_t heard() const noexcept { return heard_; }
  /// The first change that lies behind what was heard so far, or null.
  const TimedValue* next_change() const noexcept { return next_ < changes_.size() ? &changes_[next_] : nullptr; }

 private:
  listen::Listener& listener_;
  trial::TrialBook& book_;
  double rate_hz_;
  std::vector<TimedValue> changes_;
  std::size_t next_ = 0;
  std::size_t most_;  // samples at a time: below one hop, so that none is overlooked
  std::int64_t heard_ = 0;
};

}  // namespace hushmill::app
