#include <algorithm>
#include <cmath>
#include <cstdio>
#include <utility>

#include "bench/section.hpp"

namespace hushmill::bench {

std::optional<bool> Figure::held() const noexcept {
  if (!required) return std::nullopt;
  if (!std::isfinite(value)) return false;
  return required->side == Required::Side::at_least ? value >= required->value : value <= required->value;
}

Report::Report(std::string section) : section_(std::move(section)) { std::printf("%s\n", section_.c_str()); }

void Report::figure(std::string name, double value, std::string unit, std::optional<Required> required) {
  const Figure& f = figures_.emplace_back(Figure{std::move(name), value, std::move(unit), required});
  std::printf("  %-52s %12.5g %-12s", f.name.c_str(), f.value, f.unit.c_str());
  if (f.required) std::printf(" %s %g: %s", f.required->word(), f.required->value, *f.held() ? "held" : "NOT HELD");
  std::printf("\n");
  std::fflush(stdout);
}

void Report::note(std::string line) {
  std::printf("  %s\n", line.c_str());
  std::fflush(stdout);
  notes_.push_back(std::move(line));
}

bool Report::all_held() const noexcept {
  return std::all_of(figures_.begin(), figures_.end(), [](const Figure& f) { return f.held().value_or(true); });
}

}  // namespace hushmill::bench
