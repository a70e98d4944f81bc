#include "lessons/wavy_cut.hpp"

#include <algorithm>
#include <cmath>
#include <complex>

namespace hushmill::lessons {
namespace {

using Complex = std::complex<double>;

using cutting::kTurn;
constexpr double kEntryTeeth = 8;
constexpr double kSlowestToothHz = 60;
constexpr double kPushMean = 924.0 / 4096;  // of cos^12 over a turn

/// Shape of the push of a tooth, mean 1.
double push_at(double teeth, double share) {
  const double wave = std::pow(0.5 + 0.5 * std::cos(kTurn * teeth), 6);
  return 1 + share * (wave / kPushMean - 1);
}

Complex response(const cutting::Mode& tip, double w) {
  const double r = w / tip.omega();
  return 1 / tip.stiffness_n_m / Complex(1 - r * r, 2 * tip.damping_ratio * r);
}

}  // namespace

WavyLimit wavy_limit(const WavyCutSettings& s) noexcept {
  const double period_s = 1 / s.tooth_hz, stiffness = 1e6 * s.resistance_n_mm2;  // N/m for each metre of depth
  const auto turned = [&](double w) { return (1.0 - std::polar(1.0, -w * period_s)) * response(s.tip, w); };
  WavyLimit best;
  constexpr int kPlaces = 20000;
  const double from = 0.7 * s.tip.omega(), step = 0.9 * s.tip.omega() / kPlaces;
  Complex before = turned(from);
  for (int i = 1; i <= kPlaces; ++i) {
    const double w = from + step * i;
    const Complex here = turned(w);
    if (before.imag() * here.imag() < 0) {
      const double part = before.imag() / (before.imag() - here.imag());
      const double real = before.real() + part * (here.real() - before.real());
      const double depth_mm = real < 0 ? -1e3 / (stiffness * real) : 0;
      if (depth_mm > 0 && (best.depth_mm == 0 || depth_mm < best.depth_mm))
        best = {depth_mm, (w - step * (1 - part)) / kTurn};
    }
    before = here;
  }
  return best;
}

WavyCut::WavyCut(const WavyCutSettings& settings, double step_rate_hz)
    : settings_(settings),
      step_s_(1 / step_rate_hz),
      wall_(static_cast<std::size_t>(2.5 * step_rate_hz / kSlowestToothHz), {kTurn}),
      random_(settings.seed) {
  const double w = settings.tip.omega(), s = settings.tip.damping_ratio * w, d = std::sqrt(w * w - s * s);
  const double e = std::exp(-s * step_s_), c = std::cos(d * step_s_), z = std::sin(d * step_s_);
  keep_qq_ = e * (c + s / d * z);
  keep_qv_ = e / d * z;
  keep_vq_ = -e * w * w / d * z;
  keep_vv_ = e * (c - s / d * z);
  give_q_ = (1 - keep_qq_) / settings.tip.stiffness_n_m;
  give_v_ = -keep_vq_ / settings.tip.stiffness_n_m;
}

void WavyCut::step() noexcept {
  const double on = settings_.tooth_hz * step_s_;
  teeth_ += on;
  share_ = in_cut_ ? std::min(1.0, share_ + on / kEntryTeeth) : std::max(0.0, share_ - on / kEntryTeeth);
  // The force of the step is that in its middle, foreseen from where the tip is going; the chip there hangs on it.
  const double feed = 1e-6 * settings_.feed_um;
  const double middle = x_ + 0.5 * step_s_ * v_;
  left_ = wall_.at(0, kTurn * (teeth_ - 0.5 * on)).x + feed;
  chip_ = std::max(0.0, left_ - middle);
  const double depth = share_ * 1e-3 * settings_.depth_mm;
  const double rough =
      settings_.noise > 0 ? 1 + settings_.noise * random_.normal() * std::sqrt(1 / (step_s_ * 48000)) : 1;
  force_ = 1e6 * settings_.resistance_n_mm2 * depth * chip_ * push_at(teeth_, settings_.push) * rough;
  const double q = keep_qq_ * x_ + keep_qv_ * v_ + give_q_ * force_;
  const double v = keep_vq_ * x_ + keep_vv_ * v_ + give_v_ * force_;
  acceleration_ = (v - v_) / step_s_;
  x_ = q;
  v_ = v;
  // Out of the cut the wall is even, where the tip stands at rest.
  wall_.push(kTurn * teeth_, {share_ > 0 ? std::min(left_, x_) : x_, 0});
}

void WavyCut::knock(double swing_um) noexcept { v_ += 1e-6 * swing_um * settings_.tip.omega(); }

}  // namespace hushmill::lessons
