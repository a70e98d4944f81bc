#include "listen/start_watch.hpp"

namespace hushmill::listen {

namespace {
constexpr double kStartS = 2.5;  // a sound that has found no speed by then will not do
}

void StartWatch::expect(double spindle_rpm, int flutes) noexcept {
  speed_.expect(spindle_rpm, flutes);
  family_.forget();
}

bool StartWatch::process(std::span<const signal::Line> lines, double bin_hz, double past_s) {
  if (over_) return false;
  speed_.process(lines, bin_hz, false);
  const Comb comb{speed_.rotation_hz(), speed_.flutes(), speed_.relative_uncertainty(), true, true};
  const bool sure = speed_.measured() && family_.process(lines, comb, bin_hz);
  over_ = sure || past_s > kStartS;
  return sure;
}

}  // namespace hushmill::listen
