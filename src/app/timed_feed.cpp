#include "app/timed_feed.hpp"

#include <algorithm>
#include <cmath>

namespace hushmill::app {

namespace {
constexpr double kPieceS = 0.004;
}

TimedFeed::TimedFeed(listen::Listener& listener, trial::TrialBook& book, double sample_rate_hz, const std::vector<TimedValue>& changes)
    : listener_(listener),
      book_(book),
      rate_hz_(sample_rate_hz),
      changes_(changes),
      most_(std::max<std::size_t>(1, static_cast<std::size_t>(kPieceS * sample_rate_hz))) {}

void TimedFeed::hear(std::span<const float> samples) {
  while (!samples.empty()) {
    std::size_t piece = std::min(samples.size(), most_);
    if (next_ < changes_.size()) {
      const auto at = static_cast<std::int64_t>(std::llround(changes_[next_].at_s * rate_hz_));
      if (at <= heard_) {
        listener_.set_spindle_rpm(changes_[next_++].value);
        continue;
      }
      piece = std::min(piece, static_cast<std::size_t>(at - heard_));
    }
    listener_.process(samples.first(piece));
    book_.process(listener_.snapshot(), listener_.findings());
    heard_ += static_cast<std::int64_t>(piece);
    samples = samples.subspan(piece);
  }
}

void TimedFeed::finish() {
  listener_.finish();
  book_.finish(listener_.findings());
}

}  // namespace hushmill::app
