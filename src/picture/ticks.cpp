#include "picture/ticks.hpp"

#include <algorithm>
#include <cmath>
#include <iomanip>
#include <locale>
#include <sstream>

namespace hushmill::picture {

std::vector<Tick> round_ticks(double from, double to, int wanted) {
  if (!(to > from) || wanted < 1) return {};
  const double rough = (to - from) / wanted;
  const double power = std::pow(10.0, std::floor(std::log10(rough)));
  double step = power;
  for (const double factor : {1.0, 2.0, 5.0, 10.0}) {
    step = factor * power;
    if (step >= rough * 0.999) break;
  }
  const int decimals = std::max(0, -static_cast<int>(std::floor(std::log10(step) + 1e-9)));
  std::vector<Tick> ticks;
  for (double n = std::ceil(from / step - 1e-9); n * step <= to + 1e-9 * step; ++n) {
    std::ostringstream label;
    label.imbue(std::locale::classic());
    label << std::fixed << std::setprecision(decimals) << (n == 0 ? 0.0 : n * step);
    ticks.push_back({n * step, label.str()});
  }
  return ticks;
}

}  // namespace hushmill::picture
