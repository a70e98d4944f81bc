// A share that was counted, with the interval that the count allows.
#pragma once

#include <string>

namespace hushmill::bench {

struct Share {
  int hits = 0;
  int all = 0;

  void count(bool hit) noexcept {
    hits += hit ? 1 : 0;
    ++all;
  }
  double percent() const noexcept { return all == 0 ? 0.0 : 100.0 * hits / all; }
  /// "57 of 60, 95 % interval 86.3 to 98.3 %": E.B. Wilson, "Probable inference, the law of succession, and statistical
  /// inference", J. Amer. Statist. Assoc. 22 (1927) 209-212 (from memory).
  std::string text() const;
};

}  // namespace hushmill::bench
