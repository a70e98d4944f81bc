#include "bench/once_per_revolution.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

namespace hushmill::bench {
namespace {

constexpr int kAngles = 8;
constexpr std::size_t kRevolutions = 20;

struct Sums {
  double count = 0, sum = 0, square = 0;
  void add(double x) { ++count, sum += x, square += x * x; }
  double variance() const { return count < 2 ? 0 : (square - sum * sum / count) / (count - 1); }
};

// One run of the spindle in the cut: at every eighth of a turn the sound there, and the sums of all sound in that
// eighth.
struct Run {
  std::vector<float> at_angle{};
  std::vector<Sums> whole{};
};

double highest_ratio(const Run& run) {
  const std::size_t window = kAngles * kRevolutions;
  double most = 0;
  for (std::size_t from = 0; from + window <= run.at_angle.size(); from += kAngles) {
    Sums whole;
    std::array<Sums, kAngles> sampled{};
    for (std::size_t i = from; i < from + window; ++i) {
      sampled[i % kAngles].add(static_cast<double>(run.at_angle[i]));
      whole.count += run.whole[i].count;
      whole.sum += run.whole[i].sum;
      whole.square += run.whole[i].square;
    }
    double mean = 0;
    for (const Sums& s : sampled) mean += s.variance() / kAngles;
    if (whole.variance() > 0) most = std::max(most, mean / whole.variance());
  }
  return most;
}

}  // namespace

double variance_ratio(std::span<const float> sound, double rate_hz, std::span<const float> cut_rpm, double from_s,
                      double to_s) {
  double most = 0, turns = 0;
  Run run;
  Sums eighth;
  const auto to = std::min(sound.size(), static_cast<std::size_t>(to_s * rate_hz));
  for (auto i = static_cast<std::size_t>(from_s * rate_hz); i < to; ++i) {
    const auto at = static_cast<std::size_t>(100 * static_cast<double>(i) / rate_hz);
    const double rpm = at < cut_rpm.size() ? static_cast<double>(cut_rpm[at]) : 0.0;
    if (rpm <= 0) {
      most = std::max(most, highest_ratio(run));
      run = {};
      eighth = {};
      turns = 0;
      continue;
    }
    const double before = turns;
    turns += rpm / 60 / rate_hz;
    eighth.add(static_cast<double>(sound[i]));
    if (std::floor(turns * kAngles) > std::floor(before * kAngles)) {
      // The angle is passed between two samples: the sound there lies on the line between them.
      const double passed = (turns - std::floor(turns * kAngles) / kAngles) / (turns - before);
      const double x0 = i > 0 ? static_cast<double>(sound[i - 1]) : 0.0, x1 = static_cast<double>(sound[i]);
      run.at_angle.push_back(static_cast<float>(x1 + passed * (x0 - x1)));
      run.whole.push_back(eighth);
      eighth = {};
    }
  }
  return std::max(most, highest_ratio(run));
}

}  // namespace hushmill::bench
