#include "tap/echo_fit.hpp"

#include <algorithm>
#include <cmath>

#include "tap/echo_look.hpp"

namespace hushmill::tap {

namespace {
constexpr double kShares[] = {0.0003, 0.001, 0.003, 0.01, 0.03, 0.1};
constexpr double kTailsS[] = {0.3, 0.7};
constexpr double kStraySpreads = 3;
constexpr double kStrayDecays = 0.5;
}  // namespace

void fit_with_echoes(Rings& rings, std::vector<Evidence>& modes, const std::vector<double>& room_tones_hz) {
  std::vector<EchoLook> looks;
  for (std::size_t m = 0; m < modes.size(); ++m) looks.emplace_back(rings, modes, m, room_tones_hz);
  NearRoom likeliest;
  double least = 1e300;
  for (const double share : kShares)
    for (const double tail_s : kTailsS) {
      double cost = 0;
      for (auto& look : looks)
        if (look.good()) cost += look.cost({share, tail_s});
      if (cost >= least) continue;
      least = cost;
      likeliest = {share, tail_s};
    }
  for (std::size_t m = 0; m < modes.size(); ++m) {
    auto& mode = modes[m];
    if (!looks[m].good() || !looks[m].settle(likeliest)) continue;
    if (std::abs(looks[m].pole() - mode.pole) > kStraySpreads * mode.spread_rad_s + kStrayDecays * std::abs(mode.pole.real())) continue;
    mode.pole = looks[m].pole();
    mode.spread_rad_s = std::max(looks[m].spread_rad_s(), mode.spread_between_taps_rad_s);
  }
}

}  // namespace hushmill::tap
