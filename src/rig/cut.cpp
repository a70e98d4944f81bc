#include "rig/cut.hpp"

#include <algorithm>
#include <cmath>

namespace hushmill::rig {
namespace {

using cutting::kPi;
using cutting::kTurn;

constexpr double kSliceRad = 0.12;   // a slice spans about this much of the turn
constexpr double kEdgeFadeM = 2e-6;  // the edge force fades in over the first two micrometres of chip
constexpr double kN_mm2 = 1e6;       // in N/m²
constexpr double kN_mm = 1e3;        // in N/m

double wrapped(double angle_rad) { return angle_rad - kTurn * std::floor((angle_rad + kPi) / kTurn); }

}  // namespace

/// Force at the expected position and how it changes with position, in the feed frame.
struct Cut::Sum {
  double x = 0, y = 0, tangential = 0;
  double xx = 0, xy = 0, yx = 0, yy = 0;
  double tangential_x = 0, tangential_y = 0;
  bool lifted = false;
};

struct Cut::Slice {
  double sine = 0, cosine = 0, depth_m = 0;
  double resistance = 1;          // 1 + roughness
  Pair position_m, velocity_m_s;  // feed frame
  const Pair* past_m = nullptr;   // one a pass
};

Cut::Cut(const cutting::CutModel& model, bool regeneration) : coefficient_(model.force), regeneration_(regeneration) {
  const auto flutes = static_cast<std::size_t>(model.cutter.flutes);
  const std::vector<double> pitch = cutting::pitch_rad(model.cutter);
  helix_per_m_ = std::tan(model.cutter.helix_deg * kPi / 180.0) / (0.5e-3 * model.cutter.diameter_mm);
  passes_ = std::clamp(model.cutter.flutes, 3, kMostPasses);
  const auto standing_out = [&](std::size_t tooth) {
    return model.cutter.runout_um.empty() ? 0.0 : model.cutter.runout_um[tooth] * 1e-6;
  };
  double offset = 0;
  for (std::size_t j = 0; j < flutes; ++j) {
    if (j > 0) offset += pitch[j];
    Tooth tooth;
    tooth.offset_rad = offset;
    double lag = 0;
    for (std::size_t m = 0; m < static_cast<std::size_t>(passes_); ++m) {
      lag += pitch[(j + flutes * kMostPasses - m) % flutes];
      const std::size_t earlier = (j + flutes * kMostPasses - m - 1) % flutes;
      const auto same =
          std::find_if(lags_rad_.begin(), lags_rad_.end(), [&](double known) { return std::abs(known - lag) < 1e-9; });
      Pass& pass = tooth.passes[m];
      pass.lag = static_cast<std::size_t>(same - lags_rad_.begin());
      pass.standing_out_m = standing_out(j) - standing_out(earlier);
      pass.teeth = lag / kTurn * static_cast<double>(flutes);
      if (same == lags_rad_.end()) lags_rad_.push_back(lag);
    }
    teeth_.push_back(tooth);
  }
  longest_lag_rad_ = *std::max_element(lags_rad_.begin(), lags_rad_.end());
  past_now_.resize(lags_rad_.size());
  read_.resize(lags_rad_.size());
}

void Cut::engage(const Engaged& engaged) noexcept {
  engaged_ = engaged;
  const double lag = helix_per_m_ * engaged.depth_m;
  slices_ = std::clamp(static_cast<int>(std::ceil(lag / kSliceRad)), 1, kMostSlices);
  slice_depth_m_ = engaged.depth_m / slices_;
  centre_rad_ = 0.5 * (engaged.arc.entry_rad + engaged.arc.exit_rad);
  half_rad_ = 0.5 * (engaged.arc.exit_rad - engaged.arc.entry_rad);
  // A slice enters over its own helix or, if that is less, over one step: a step in the force would else be heard as
  // the beat of the step rate with the teeth.
  edge_rad_ = std::max(lag / slices_, engaged.angle_per_step_rad);
  reach_rad_ = half_rad_ + lag + edge_rad_;
  for (int i = 0; i < slices_; ++i) {
    const auto at = static_cast<std::size_t>(i);
    slice_lag_[at] = lag * (i + 0.5) / slices_;
    slice_cos_[at] = std::cos(slice_lag_[at]);
    slice_sin_[at] = std::sin(slice_lag_[at]);
  }
  feed_cos_ = std::cos(engaged.feed_direction_rad);
  feed_sin_ = std::sin(engaged.feed_direction_rad);
}

Pair Cut::past_in_feed_frame(std::size_t lag, double angle_rad, Past& past) noexcept {
  if (!read_[lag]) {
    const Pair table = past.at(lag, angle_rad);
    past_now_[lag] = {feed_cos_ * table.x + feed_sin_ * table.y, feed_cos_ * table.y - feed_sin_ * table.x};
    read_[lag] = 1;
  }
  return past_now_[lag];
}

void Cut::add_slice(const Slice& slice, const Tooth& tooth, Sum& sum) const noexcept {
  const auto passes = static_cast<std::size_t>(passes_);
  const auto resting_chip = [&] {
    double least = 1.0;
    for (std::size_t m = 0; m < passes; ++m) {
      const Pass& pass = tooth.passes[m];
      least = std::min(least, pass.teeth * engaged_.feed_per_tooth_m * slice.sine + pass.standing_out_m);
    }
    return least;
  };
  double chip = 1.0;
  if (regeneration_) {
    const double out = slice.position_m.x * slice.sine + slice.position_m.y * slice.cosine;
    for (std::size_t m = 0; m < passes; ++m) {
      const double before = slice.past_m[m].x * slice.sine + slice.past_m[m].y * slice.cosine;
      chip = std::min(chip, out - before + tooth.passes[m].standing_out_m);
    }
  } else {
    chip = resting_chip();
  }
  if (chip <= 0) {
    if (!sum.lifted && regeneration_) sum.lifted = resting_chip() > 0.1 * engaged_.feed_per_tooth_m;
    return;
  }
  const double sharp = std::min(1.0, chip / kEdgeFadeM);
  const double stiff_t = coefficient_.tangential_n_mm2 * kN_mm2 * slice.depth_m * slice.resistance;
  const double stiff_r = coefficient_.radial_n_mm2 * kN_mm2 * slice.depth_m * slice.resistance;
  const double tangential = stiff_t * chip + coefficient_.tangential_edge_n_mm * kN_mm * slice.depth_m * sharp;
  const double into = slice.velocity_m_s.x * slice.sine + slice.velocity_m_s.y * slice.cosine;
  const double damping = coefficient_.process_damping_n_m > 0 && engaged_.surface_speed_m_s > 0 && regeneration_
                             ? coefficient_.process_damping_n_m * slice.depth_m / engaged_.surface_speed_m_s * into
                             : 0.0;
  const double radial = stiff_r * chip + coefficient_.radial_edge_n_mm * kN_mm * slice.depth_m * sharp + damping;
  sum.tangential += tangential;
  sum.x += -tangential * slice.cosine - radial * slice.sine;
  sum.y += tangential * slice.sine - radial * slice.cosine;
  if (!regeneration_) return;
  const double along_x = -stiff_t * slice.cosine - stiff_r * slice.sine;
  const double along_y = stiff_t * slice.sine - stiff_r * slice.cosine;
  sum.xx += along_x * slice.sine;
  sum.xy += along_x * slice.cosine;
  sum.yx += along_y * slice.sine;
  sum.yy += along_y * slice.cosine;
  sum.tangential_x += stiff_t * slice.sine;
  sum.tangential_y += stiff_t * slice.cosine;
}

CutForce Cut::force(const Motion& motion, Past& past, double roughness) noexcept {
  if (engaged_.depth_m <= 0 || half_rad_ <= 0) return {};
  const auto to_feed = [&](Pair table) {
    return Pair{feed_cos_ * table.x + feed_sin_ * table.y, feed_cos_ * table.y - feed_sin_ * table.x};
  };
  std::fill(read_.begin(), read_.end(), static_cast<unsigned char>(0));
  Sum sum;
  Slice slice{};
  slice.resistance = 1.0 + roughness;
  slice.position_m = to_feed(motion.expected_m);
  slice.velocity_m_s = to_feed(motion.velocity_m_s);
  const double from_centre = wrapped(motion.angle_rad - centre_rad_);
  std::array<Pair, kMostPasses> past_m{};
  slice.past_m = past_m.data();

  for (const Tooth& tooth : teeth_) {
    double tip_rad = from_centre - tooth.offset_rad;
    if (tip_rad < -kPi) tip_rad += kTurn;
    const bool near = tip_rad > -half_rad_ - edge_rad_ && tip_rad < reach_rad_;
    if (!near && tip_rad + kTurn > reach_rad_) continue;  // no slice is in the arc
    bool ready = false;
    double sine = 0;
    double cosine = 1;
    for (int i = 0; i < slices_; ++i) {
      const auto at = static_cast<std::size_t>(i);
      double from = tip_rad - slice_lag_[at];
      while (from < -kPi) from += kTurn;
      const double inside = std::min(from + 0.5 * edge_rad_, half_rad_) - std::max(from - 0.5 * edge_rad_, -half_rad_);
      if (inside <= 0) continue;
      if (!ready) {
        sine = std::sin(centre_rad_ + tip_rad);
        cosine = std::cos(centre_rad_ + tip_rad);
        if (regeneration_) {
          for (std::size_t m = 0; m < static_cast<std::size_t>(passes_); ++m) {
            past_m[m] = past_in_feed_frame(tooth.passes[m].lag, motion.angle_rad, past);
          }
        }
        ready = true;
      }
      slice.sine = sine * slice_cos_[at] - cosine * slice_sin_[at];
      slice.cosine = cosine * slice_cos_[at] + sine * slice_sin_[at];
      slice.depth_m = slice_depth_m_ * std::min(inside / edge_rad_, 1.0);
      add_slice(slice, tooth, sum);
    }
  }

  // The true position u satisfies u = without + G·F and F = F(expected) + J·(u − expected): two equations for the
  // shift.
  const double gxx = feed_cos_ * feed_cos_ * motion.gain_m_n.x + feed_sin_ * feed_sin_ * motion.gain_m_n.y;
  const double gyy = feed_sin_ * feed_sin_ * motion.gain_m_n.x + feed_cos_ * feed_cos_ * motion.gain_m_n.y;
  const double gxy = feed_cos_ * feed_sin_ * (motion.gain_m_n.y - motion.gain_m_n.x);
  const Pair without = to_feed(motion.without_force_m);
  const double rest_x = without.x + gxx * sum.x + gxy * sum.y - slice.position_m.x;
  const double rest_y = without.y + gxy * sum.x + gyy * sum.y - slice.position_m.y;
  const double a = 1.0 - (gxx * sum.xx + gxy * sum.yx);
  const double b = -(gxx * sum.xy + gxy * sum.yy);
  const double c = -(gxy * sum.xx + gyy * sum.yx);
  const double d = 1.0 - (gxy * sum.xy + gyy * sum.yy);
  const double determinant = a * d - b * c;
  const double shift_x = (d * rest_x - b * rest_y) / determinant;
  const double shift_y = (a * rest_y - c * rest_x) / determinant;
  const double x = sum.x + sum.xx * shift_x + sum.xy * shift_y;
  const double y = sum.y + sum.yx * shift_x + sum.yy * shift_y;
  CutForce out;
  out.on_tool_n = {feed_cos_ * x - feed_sin_ * y, feed_sin_ * x + feed_cos_ * y};
  out.tangential_n = sum.tangential + sum.tangential_x * shift_x + sum.tangential_y * shift_y;
  out.lifted = sum.lifted;
  return out;
}

}  // namespace hushmill::rig
