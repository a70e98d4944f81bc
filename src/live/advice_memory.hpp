// The advice that was given for a chatter, so that the same chatter gets the same advice when it comes back.
//
// A corner that chatters in every lap is heard a few hertz apart from lap to lap; asked anew each time, the adviser's
// speeds would wander by a percent and its direction might flip between two that are as good, without any news.
#pragma once

#include <cstddef>
#include <vector>

#include "advise/advice.hpp"

namespace hushmill::live {

/// What tells one chatter from another, as far as the advice is concerned.
struct ChatterKey {
  double spindle_rpm = 0;
  double chatter_hz = 0;
  std::size_t known = 0;  ///< grows with what was learned since: trials
};

class AdviceMemory {
 public:
  void add(const ChatterKey& key, const advise::Advice& advice);
  /// The latest advice for that speed, within two percent of that tone, when nothing was learned since; else null.
  const advise::Advice* find(const ChatterKey& key) const noexcept;
  void clear() noexcept { known_.clear(); }

 private:
  struct Known {
    ChatterKey key;
    advise::Advice advice;
  };
  std::vector<Known> known_;
};

}  // namespace hushmill::live
