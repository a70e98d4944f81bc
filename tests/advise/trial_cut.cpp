#include "advise/trial_cut.hpp"

#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>
#include <random>

namespace hushmill::test {

namespace {

constexpr double kPi = std::numbers::pi;
constexpr double kLongest_s = 3.0;

// One mode: a kick of the force at each step, the exact free motion between (second order in the step).
struct Resonator {
  double a11, a12, a21, a22, kick;
  double position = 0;
  double velocity = 0;

  Resonator(const TrialMode& mode, double step_s) {
    const double omega = 2 * kPi * mode.hz;
    const double decay = mode.damping_ratio * omega;
    const double damped = omega * std::sqrt(1 - mode.damping_ratio * mode.damping_ratio);
    const double e = std::exp(-decay * step_s);
    const double c = std::cos(damped * step_s);
    const double s = std::sin(damped * step_s) / damped;
    a11 = e * (c + decay * s);
    a12 = e * s;
    a21 = -omega * omega * e * s;
    a22 = e * (c - decay * s);
    kick = omega * omega / mode.stiffness_n_m * step_s;
  }
  void push(double force) {
    const double kicked = velocity + kick * force;
    velocity = a21 * position + a22 * kicked;
    position = a11 * position + a12 * kicked;
  }
};

void transform(std::vector<std::complex<double>>& x) {
  const std::size_t n = x.size();
  for (std::size_t i = 1, j = 0; i < n; ++i) {
    std::size_t bit = n >> 1;
    for (; j & bit; bit >>= 1) j ^= bit;
    j ^= bit;
    if (i < j) std::swap(x[i], x[j]);
  }
  for (std::size_t length = 2; length <= n; length <<= 1) {
    const std::complex<double> turn = std::polar(1.0, -2 * kPi / static_cast<double>(length));
    for (std::size_t i = 0; i < n; i += length) {
      std::complex<double> w = 1;
      for (std::size_t k = 0; k < length / 2; ++k, w *= turn) {
        const auto even = x[i + k];
        const auto odd = x[i + k + length / 2] * w;
        x[i + k] = even + odd;
        x[i + k + length / 2] = even - odd;
      }
    }
  }
}

// Strongest line by a Hann window and a parabola through the logarithms of the top three bins.
double strongest_line(const std::vector<double>& signal, double rate_hz) {
  std::size_t n = 1;
  while (n * 2 <= signal.size()) n *= 2;
  std::vector<std::complex<double>> bins(n);
  for (std::size_t i = 0; i < n; ++i)
    bins[i] = signal[signal.size() - n + i] *
              (0.5 - 0.5 * std::cos(2 * kPi * static_cast<double>(i) / static_cast<double>(n)));
  transform(bins);
  std::size_t top = 2;
  for (std::size_t i = 2; i + 1 < n / 2; ++i)
    if (std::norm(bins[i]) > std::norm(bins[top])) top = i;
  const double left = std::log(std::norm(bins[top - 1]) + 1e-300);
  const double middle = std::log(std::norm(bins[top]) + 1e-300);
  const double right = std::log(std::norm(bins[top + 1]) + 1e-300);
  const double bend = left - 2 * middle + right;
  const double shift = bend < 0 ? 0.5 * (left - right) / bend : 0;
  return (static_cast<double>(top) + shift) * rate_hz / static_cast<double>(n);
}

}  // namespace

TrialSound run_trial(const TrialCut& cut, double spindle_rpm, std::optional<double> noise_db, std::uint32_t seed) {
  const double tooth_s = 60.0 / (spindle_rpm * cut.flutes);
  double top_hz = 0;
  for (const TrialMode& mode : cut.modes) top_hz = std::max(top_hz, mode.hz);
  const double main_hz = cut.modes.front().hz;
  const int per_tooth = std::max(48, static_cast<int>(std::ceil(tooth_s * std::max(32 * main_hz, 16 * top_hz))));
  const double step_s = tooth_s / per_tooth;
  const auto per_rev = static_cast<std::size_t>(per_tooth * cut.flutes);

  std::vector<double> sine(per_rev), cosine(per_rev);
  std::vector<double> engaged(per_rev);  // part of the step inside the engaged angle: edges are exact
  const double width = std::acos(1 - 2 * cut.engagement);
  for (std::size_t i = 0; i < per_rev; ++i) {
    const double angle = 2 * kPi * (static_cast<double>(i) + 0.5) / static_cast<double>(per_rev);
    sine[i] = std::sin(angle);
    cosine[i] = std::cos(angle);
    const double half = kPi / static_cast<double>(per_rev);
    const double start = cut.climb ? kPi - width : 0;
    const double exit = cut.climb ? kPi : width;
    engaged[i] = std::max(0.0, std::min(angle + half, exit) - std::max(angle - half, start)) / (2 * half);
  }
  std::vector<Resonator> modes;
  for (const TrialMode& mode : cut.modes) modes.emplace_back(mode, step_s);

  const double tangential = cut.tangential_n_mm2 * 1e6 * cut.depth_mm * 1e-3;
  const double radial = cut.radial_ratio * tangential;
  const double surface_m_s = kPi * cut.diameter_mm * 1e-3 * spindle_rpm / 60;
  const double damping = cut.damping_n_mm * 1e3 * cut.depth_mm * 1e-3 / surface_m_s;
  constexpr double kFriction = 0.3;
  const double feed = cut.feed_per_tooth_mm * 1e-3;

  std::vector<double> surface(per_rev, 0.0);  // where the last tooth left the wall, in the frame of the coming tooth
  std::vector<double> last_tooth(static_cast<std::size_t>(per_tooth), 0.0);
  const auto steps = static_cast<std::size_t>(kLongest_s / step_s);
  // Long enough to resolve family members a tenth of the rotation apart.
  const auto heard_steps = std::min(steps, static_cast<std::size_t>(std::max(0.15, 12 * 60 / spindle_rpm) / step_s));
  std::vector<double> heard;
  heard.reserve(steps);
  const std::size_t window = std::max<std::size_t>(per_rev, static_cast<std::size_t>(0.02 / step_s));
  std::vector<double> levels;
  double sum = 0;
  double heard_sum = 0;
  double rough = 0;

  for (std::size_t i = 0; i < steps; ++i) {
    double x = 0, y = 0, vx = 0, vy = 0;
    for (std::size_t m = 0; m < modes.size(); ++m) {
      (cut.modes[m].along_feed ? x : y) += modes[m].position;
      (cut.modes[m].along_feed ? vx : vy) += modes[m].velocity;
    }
    double fx = 0, fy = 0;
    for (int tooth = 0; tooth < cut.flutes; ++tooth) {
      const std::size_t at = (i + static_cast<std::size_t>(tooth * per_tooth)) % per_rev;
      if (engaged[at] <= 0) continue;
      const double out = x * sine[at] + y * cosine[at];
      const double advance = feed * sine[at];
      const double chip = out + advance - surface[at];
      if (chip <= 0) {
        surface[at] -= advance;
        continue;
      }
      surface[at] = out;
      const double rub = damping * (vx * sine[at] + vy * cosine[at]);
      const double ft = engaged[at] * (tangential * chip + kFriction * rub);
      const double fr = engaged[at] * (radial * chip + rub);
      fx += -ft * cosine[at] - fr * sine[at];
      fy += ft * sine[at] - fr * cosine[at];
    }
    for (std::size_t m = 0; m < modes.size(); ++m) modes[m].push(cut.modes[m].along_feed ? fx : fy);

    const double motion = x + 0.7 * y;  // a microphone hears both directions, one better than the other
    double& before = last_tooth[i % static_cast<std::size_t>(per_tooth)];
    const double change = motion - before;
    before = motion;
    heard.push_back(0.7 * vy + vx);
    sum += change * change;
    if ((i + 1) % window) continue;
    rough = std::sqrt(sum / static_cast<double>(window));
    sum = 0;
    levels.push_back(rough);
    const double now_s = static_cast<double>(i) * step_s;
    if (now_s > 0.3 && rough < 1e-5 * feed) break;
    if (now_s > 0.8 && rough > 0.05 * feed && levels.size() > 20) {
      const double earlier = levels[levels.size() / 2];
      if (rough > 0.9 * earlier) break;
    }
  }

  TrialSound sound;
  sound.chatters = rough > 2e-3 * feed;
  if (!sound.chatters) return sound;

  // White noise, then the difference from tooth to tooth, which leaves the levels within the family as they are.
  const std::size_t from = heard.size() > heard_steps ? heard.size() - heard_steps : 0;
  std::vector<double> tail(heard.begin() + static_cast<std::ptrdiff_t>(from), heard.end());
  if (noise_db) {
    for (const double v : tail) heard_sum += v * v;
    std::mt19937 draw(seed);
    std::normal_distribution<double> noise(
        0, std::sqrt(heard_sum / static_cast<double>(tail.size())) * std::pow(10, -*noise_db / 20));
    for (double& v : tail) v += noise(draw);
  }
  for (std::size_t i = tail.size() - 1; i >= static_cast<std::size_t>(per_tooth); --i)
    tail[i] -= tail[i - static_cast<std::size_t>(per_tooth)];
  tail.erase(tail.begin(), tail.begin() + per_tooth);
  sound.chatter_hz = strongest_line(tail, 1 / step_s);

  // Growth: slope of the logarithm over the windows below a third of the final level, when there are at least four.
  std::size_t rising = 1;
  while (rising < levels.size() && levels[rising] < 0.33 * rough) ++rising;
  if (rising >= 5) {
    const double span_s = static_cast<double>((rising - 2) * window) * step_s;
    const double growth = std::log(levels[rising - 1] / levels[1]) / span_s;
    if (growth > 0) sound.growth_per_s = growth;
  }
  return sound;
}

}  // namespace hushmill::test
