// Forced vibration: one tooth harmonic that stands at least 12 dB above its neighbours' trend for ten revolutions.
#pragma once

#include "listen/row.hpp"

namespace hushmill::listen {

class ForcedWatch {
 public:
  void process(const Row& row) noexcept;
  void reset() noexcept { lasting_s_ = 0; order_ = 0; }

  /// True once it lasted ten revolutions.
  bool forced() const noexcept { return forced_; }
  /// The harmonic, 1 upward; 0 when none stands out.
  int order() const noexcept { return order_; }
  double above_trend_db() const noexcept { return above_trend_db_; }

 private:
  double lasting_s_ = 0;
  bool forced_ = false;
  int order_ = 0;
  double above_trend_db_ = 0;
};

}  // namespace hushmill::listen
