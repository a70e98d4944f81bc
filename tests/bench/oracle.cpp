#include "bench/oracle.hpp"

#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>
#include <vector>

namespace hushmill::bench {
namespace {

constexpr double kOverBackground = 7.943282;  // 9 dB
constexpr double kHistoryS = 1.0;             // the second before it may grow is the background
constexpr double kHighestHz = 6000;

// Power of one frequency in a Hann frame.
double power_at(std::span<const float> frame, std::span<const float> window, double hz, double rate_hz) {
  const double w = -2 * std::numbers::pi * hz / rate_hz;
  const double step_re = std::cos(w), step_im = std::sin(w);
  double re = 1, im = 0, sum_re = 0, sum_im = 0;
  for (std::size_t i = 0; i < frame.size(); ++i) {
    const double x = static_cast<double>(frame[i]) * static_cast<double>(window[i]);
    sum_re += x * re;
    sum_im += x * im;
    const double next = re * step_re - im * step_im;
    im = re * step_im + im * step_re;
    re = next;
  }
  return sum_re * sum_re + sum_im * sum_im;
}

std::vector<double> family(const Told& told, double highest_hz, double beside_hz) {
  const double tooth_hz = told.rpm * told.flutes / 60;
  std::vector<double> places;
  for (int k = -100; k <= 100; ++k)
    for (const int sign : {1, -1}) {
      const double hz = sign * told.chatter_hz + k * tooth_hz;
      if (hz < 60 || hz > highest_hz) continue;
      const bool known =
          std::any_of(places.begin(), places.end(), [&](double p) { return std::abs(p - hz) < beside_hz; });
      if (!known) places.push_back(hz);
    }
  return places;
}

}  // namespace

std::optional<double> oracle_alarm_s(std::span<const float> sound, double rate_hz, const Told& told) {
  if (told.chatter_hz <= 0) return std::nullopt;
  const double frame_s = std::max(3.5 * 60 / told.rpm, 0.030);
  const auto size = static_cast<std::size_t>(frame_s * rate_hz);
  const std::size_t step = size / 2;
  std::vector<float> window(size);
  for (std::size_t i = 0; i < size; ++i)
    window[i] = static_cast<float>(
        0.5 - 0.5 * std::cos(2 * std::numbers::pi * static_cast<double>(i) / static_cast<double>(size)));
  const auto places = family(told, std::min(kHighestHz, 0.4 * rate_hz), 1 / frame_s);
  const auto frame_at = [&](std::size_t at) { return sound.subspan(at, size); };

  std::vector<double> background(places.size());
  const auto from = static_cast<std::size_t>(told.unstable_from_s * rate_hz);
  const auto history = std::min(from, static_cast<std::size_t>(kHistoryS * rate_hz));
  int frames = 0;
  for (std::size_t at = from - history; at + size <= from; at += step, ++frames)
    for (std::size_t p = 0; p < places.size(); ++p) background[p] += power_at(frame_at(at), window, places[p], rate_hz);
  for (double& b : background) b /= std::max(1, frames);

  int running = 0;
  for (std::size_t at = from; at + size <= sound.size(); at += step) {
    bool seen = false;
    for (std::size_t p = 0; p < places.size() && !seen; ++p)
      seen = power_at(frame_at(at), window, places[p], rate_hz) > kOverBackground * background[p];
    running = seen ? running + 1 : 0;
    if (running == 2) return static_cast<double>(at + size) / rate_hz;
  }
  return std::nullopt;
}

}  // namespace hushmill::bench
