#include "tap/echo_look.hpp"

#include <Eigen/Cholesky>
#include <Eigen/QR>
#include <Eigen/SVD>
#include <algorithm>
#include <cmath>
#include <numbers>

namespace hushmill::tap {

namespace {
constexpr double kLookTwoPi = 2 * std::numbers::pi;
constexpr double kLookRingTimes = 8;      // of the ring's time constant are looked at
constexpr double kLookReach = 16;         // of the band to either side, in units of the decay
constexpr double kLookLeastBins = 8;      // to either side
constexpr double kLookMostBins = 40;
constexpr double kLookMostOfPitch = 0.6;  // of the frequency, so that neither the mirror nor hum comes near
constexpr double kLookFirstEchoS = 0.0012;  // the microphone is a hand's width away, the next wall is not
constexpr int kLookSmooth = 3;
constexpr int kLookRounds = 3;
constexpr int kLookSteps = 6;
constexpr double kLookSettled = 1e-4;     // of the misfit, in units of the noise
constexpr double kLookFirstShare = 0.01;  // of the room's answer, until it is known
constexpr double kLookLeastNoise = 1e-6;  // of the highest bin, where no noise is known
}  // namespace

EchoLook::EchoLook(Rings& rings, const std::vector<Evidence>& modes, std::size_t which, const std::vector<double>& tones_hz) {
  const Pole centre = modes[which].pole;
  const double decay = -centre.real(), w = centre.imag();
  const double length_s = std::min(kLookRingTimes / decay, rings.shortest_s());
  const double bin = kLookTwoPi / length_s;
  const double half = std::min({std::max(kLookReach * decay, kLookLeastBins * bin), kLookMostBins * bin, kLookMostOfPitch * w});
  data_ = rings.plain((w - half) / kLookTwoPi, std::min((w + half) / kLookTwoPi, rings.highest_hz()), length_s);
  if (data_.bins.rows() < static_cast<Eigen::Index>(kLookLeastBins)) return;
  noise_ = rings.noise_of(data_);
  turn_.resize(data_.bins.rows());
  for (Eigen::Index k = 0; k < turn_.size(); ++k)
    turn_[k] = std::polar(1.0, -kLookTwoPi * static_cast<double>(data_.first_bin + static_cast<std::size_t>(k)) / static_cast<double>(data_.ring_samples));
  const double from = data_.from_rad_s(), to = data_.to_rad_s();
  std::vector<Pole> beside;
  poles_.push_back(centre);
  for (std::size_t m = 0; m < modes.size(); ++m) {
    const Pole other = modes[m].pole;
    if (m == which || other.imag() < from - half || other.imag() > to + half) continue;
    (other.imag() > from && other.imag() < to ? poles_ : beside).push_back(other);
  }
  free_ = poles_.size();
  poles_.insert(poles_.end(), beside.begin(), beside.end());
  for (const double hz : tones_hz)
    if (kLookTwoPi * hz > from && kLookTwoPi * hz < to && std::abs(kLookTwoPi * hz - w) > bin) tones_.push_back(kLookTwoPi * hz);
  if (static_cast<Eigen::Index>(poles_.size() + tones_.size()) + kLookSmooth + 2 > data_.bins.rows()) return;
  good_ = true;
  sum_up();
}

// The bins of a ring that begins late: whole turns at the end, so only its own factor is left there.
Eigen::VectorXcd EchoLook::column(Pole pole, double late_s) const {
  const Pole z = std::exp(pole / data_.rate_hz);
  const double late = late_s * data_.rate_hz, samples = static_cast<double>(data_.ring_samples);
  const Pole end = std::exp(pole / data_.rate_hz * (samples - late));
  Eigen::VectorXcd column(turn_.size());
  for (Eigen::Index k = 0; k < column.size(); ++k)
    column[k] = (std::polar(1.0, std::arg(turn_[k]) * late) - end) / (1.0 - z * turn_[k]) / std::sqrt(samples);
  return column;
}

Eigen::VectorXcd EchoLook::slope(Pole pole) const {
  const double step = 1e-4 * std::abs(pole.real());
  return (column(pole + step, 0) - column(pole - step, 0)) / (2 * step);
}

// All that is fitted in one ring or sum: modes, tones, smooth terms for what lies outside.
Eigen::MatrixXcd EchoLook::columns() const {
  const Eigen::Index rows = data_.bins.rows();
  Eigen::MatrixXcd all(rows, static_cast<Eigen::Index>(poles_.size() + tones_.size()) + kLookSmooth);
  Eigen::Index c = 0;
  for (const auto pole : poles_) all.col(c++) = column(pole, 0);
  for (const double w : tones_) all.col(c++) = column({-1e-3, w}, 0);
  const double scale = all.col(0).norm();
  for (Eigen::Index k = 0; k < rows; ++k) {
    const double x = 2.0 * static_cast<double>(k) / static_cast<double>(rows - 1) - 1;
    const double terms[kLookSmooth] = {1, x, 2 * x * x - 1};
    for (int q = 0; q < kLookSmooth; ++q) all(k, c + q) = scale * terms[q];
  }
  return all;
}

Eigen::MatrixXcd EchoLook::whitened_columns(const Eigen::MatrixXcd& one) const {
  const Eigen::Index sums = sums_.cols();
  Eigen::MatrixXcd all = Eigen::MatrixXcd::Zero(one.rows() * sums, one.cols() * sums);
  for (Eigen::Index s = 0; s < sums; ++s) all.block(s * one.rows(), s * one.cols(), one.rows(), one.cols()) = one;
  root_.triangularView<Eigen::Lower>().solveInPlace(all);
  return all;
}

// Amounts by least squares, errors of bins in proportion to what is there; then the sums of rings that say all of it.
void EchoLook::sum_up() {
  const Eigen::VectorXd power = data_.bins.rowwise().squaredNorm() / static_cast<double>(data_.bins.cols());
  const Eigen::VectorXd weight = (noise_ + kLookFirstShare * power).cwiseMax(1e-30).cwiseSqrt().cwiseInverse();
  const Eigen::MatrixXcd all = weight.asDiagonal() * columns();
  const auto modes = static_cast<Eigen::Index>(poles_.size());
  const Eigen::MatrixXcd amounts = all.colPivHouseholderQr().solve((weight.asDiagonal() * data_.bins).eval()).topRows(modes);
  Eigen::MatrixXcd strengths = amounts;
  for (Eigen::Index m = 0; m < modes; ++m) strengths.row(m) *= all.col(m).norm();
  const Eigen::JacobiSVD<Eigen::MatrixXcd> parts(strengths, Eigen::ComputeThinV);
  const Eigen::MatrixXcd ways = parts.matrixV().leftCols(std::min(static_cast<Eigen::Index>(free_), parts.matrixV().cols()));
  sums_ = data_.bins * ways;
  in_sums_ = amounts * ways;
}

bool EchoLook::whiten(const NearRoom& room) {
  const Eigen::Index rows = sums_.rows(), sums = sums_.cols();
  const double decay = 6 * std::log(10.0) / room.tail_s;
  const double step_s = kLookTwoPi / 3 / (data_.bin_rad_s() * static_cast<double>(rows));  // finer than the band can tell
  const auto steps = static_cast<Eigen::Index>(std::ceil(std::min(data_.ring_s(), room.tail_s) / step_s));
  Eigen::MatrixXcd echoes = Eigen::MatrixXcd::Zero(rows * sums, steps);
  for (Eigen::Index q = 0; q < steps; ++q) {
    const double from_s = std::max(kLookFirstEchoS, step_s * static_cast<double>(q)), to_s = step_s * static_cast<double>(q + 1);
    if (to_s <= from_s) continue;
    const double gain = std::sqrt(room.share * (std::exp(-decay * from_s) - std::exp(-decay * to_s)));
    for (std::size_t m = 0; m < poles_.size(); ++m) {
      const Eigen::VectorXcd one = gain * column(poles_[m], 0.5 * (from_s + to_s));
      for (Eigen::Index s = 0; s < sums; ++s) echoes.col(q).segment(s * rows, rows) += in_sums_(static_cast<Eigen::Index>(m), s) * one;
    }
  }
  Eigen::MatrixXcd covariance = echoes * echoes.adjoint();
  const double least = kLookLeastNoise * sums_.cwiseAbs2().maxCoeff() + 1e-30;
  for (Eigen::Index s = 0; s < sums; ++s) covariance.diagonal().segment(s * rows, rows).array() += noise_.array() + least;
  const Eigen::LLT<Eigen::MatrixXcd> root(covariance);
  if (root.info() != Eigen::Success) return false;
  root_ = root.matrixL();
  heard_ = sums_.reshaped();
  root_.triangularView<Eigen::Lower>().solveInPlace(heard_);
  return true;
}

double EchoLook::cost(const NearRoom& room) {
  if (!whiten(room)) return 1e300;
  const Eigen::MatrixXcd all = whitened_columns(columns());
  const Eigen::HouseholderQR<Eigen::MatrixXcd> qr(all);
  const Eigen::VectorXcd turned = qr.householderQ().adjoint() * heard_;
  double cost = turned.tail(turned.size() - all.cols()).squaredNorm();
  for (Eigen::Index i = 0; i < heard_.size(); ++i) cost += 2 * std::log(root_(i, i).real());
  for (Eigen::Index i = 0; i < all.cols(); ++i) cost += 2 * std::log(std::max(1e-300, std::abs(qr.matrixQR()(i, i))));
  return 2 * cost;
}

// Misfit and the equations of a step, amounts eliminated.
void EchoLook::linearise() {
  const Eigen::MatrixXcd one = columns(), all = whitened_columns(one);
  const Eigen::ColPivHouseholderQR<Eigen::MatrixXcd> qr(all);
  const Eigen::VectorXcd amounts = qr.solve(heard_);
  const Eigen::VectorXcd rest = heard_ - all * amounts;
  const auto moving = static_cast<Eigen::Index>(free_);
  Eigen::MatrixXcd slopes(heard_.size(), moving);
  for (Eigen::Index m = 0; m < moving; ++m) {
    const Eigen::VectorXcd by_pole = slope(poles_[static_cast<std::size_t>(m)]);
    for (Eigen::Index s = 0; s < sums_.cols(); ++s) slopes.col(m).segment(s * one.rows(), one.rows()) = amounts[s * one.cols() + m] * by_pole;
  }
  root_.triangularView<Eigen::Lower>().solveInPlace(slopes);
  slopes -= (all * qr.solve(slopes)).eval();
  misfit_ = rest.squaredNorm();
  normal_ = slopes.adjoint() * slopes;
  side_ = slopes.adjoint() * rest;
}

bool EchoLook::move_by(const Eigen::VectorXcd& moves) {
  bool rings = moves.allFinite();
  for (std::size_t m = 0; rings && m < free_; ++m) {
    poles_[m] += moves[static_cast<Eigen::Index>(m)];
    rings = poles_[m].real() < -0.05 / data_.ring_s() && poles_[m].real() > -0.3 * poles_[m].imag();
  }
  return rings;
}

bool EchoLook::settle(const NearRoom& room) {
  // The covariance follows from the poles, so it is made anew when they have moved.
  for (int round = 0; round < kLookRounds; ++round) {
    if (round > 0) sum_up();
    if (!whiten(room)) return false;
    linearise();
    double damping = 1e-3;
    for (int step = 0; step < kLookSteps; ++step) {
      Eigen::MatrixXcd damped = normal_;
      damped.diagonal() *= 1 + damping;
      const auto poles_before = poles_;
      const Eigen::MatrixXcd normal_before = normal_;
      const Eigen::VectorXcd side_before = side_;
      const double before = misfit_;
      const bool rings = move_by(damped.ldlt().solve(side_));
      if (rings) linearise();
      if (!rings || !(misfit_ <= before)) {
        poles_ = poles_before;
        normal_ = normal_before;
        side_ = side_before;
        misfit_ = before;
        damping = std::max(1e-3, damping) * 20;
        continue;
      }
      damping /= 10;
      if (before - misfit_ < kLookSettled) break;
    }
  }
  const auto moving = static_cast<Eigen::Index>(free_);
  const double fitted = static_cast<double>(sums_.cols()) * static_cast<double>(poles_.size() + tones_.size() + kLookSmooth) + static_cast<double>(free_);
  const double per_bin = misfit_ / std::max(1.0, static_cast<double>(heard_.size()) - fitted);
  spread_ = std::sqrt(std::max(0.0, normal_.ldlt().solve(Eigen::VectorXcd::Unit(moving, 0).eval())[0].real()) / 2 * std::max(1.0, per_bin));
  return std::isfinite(spread_) && spread_ > 0;
}

}  // namespace hushmill::tap
