#include "tap/ring_fit.hpp"

#include <Eigen/Cholesky>
#include <Eigen/QR>
#include <algorithm>
#include <cmath>
#include <numbers>

namespace hushmill::tap {

namespace {
constexpr double kMostDamping = 0.25;       // of critical; beyond that nothing rings
constexpr double kLeastDecayPerRing = 0.01; // a steady tone is held here
constexpr double kConverged = 1e-9;
}  // namespace

double BandData::bin_rad_s() const noexcept { return 2 * std::numbers::pi * rate_hz / static_cast<double>(ring_samples); }

BandData BandData::only(const std::vector<Eigen::Index>& rings) const {
  BandData part = *this;
  part.bins.resize(bins.rows(), static_cast<Eigen::Index>(rings.size()));
  for (std::size_t j = 0; j < rings.size(); ++j) part.bins.col(static_cast<Eigen::Index>(j)) = bins.col(rings[j]);
  return part;
}

Eigen::MatrixXcd BandData::weighed(const Eigen::MatrixXcd& columns) const {
  if (whitener.size() == 0) return weights.asDiagonal() * columns;
  return whitener.triangularView<Eigen::Lower>() * columns;
}

RingFit::RingFit(const BandData& data, int smooth_terms) : data_(&data), smooth_(smooth_terms) {
  turn_.resize(data.bins.rows());
  for (Eigen::Index k = 0; k < turn_.size(); ++k)
    turn_[k] = std::polar(1.0, -2 * std::numbers::pi * static_cast<double>(data.first_bin + static_cast<std::size_t>(k)) / static_cast<double>(data.ring_samples));
  project();
}

Eigen::VectorXcd RingFit::column(Pole pole) const {
  const Pole z = std::exp(pole / data_->rate_hz);
  return data_->weighed((1.0 - (z * turn_).array()).inverse().matrix());
}

Eigen::VectorXcd RingFit::slope(Pole pole) const {
  const Pole z = std::exp(pole / data_->rate_hz);
  const Eigen::ArrayXcd turned = (z * turn_).array();
  return data_->weighed((turned / (data_->rate_hz * (1.0 - turned).square())).matrix());
}

bool RingFit::allowed(Pole pole) const noexcept {
  const double margin = 0.1 * (data_->to_rad_s() - data_->from_rad_s());
  return pole.imag() > data_->from_rad_s() - margin && pole.imag() < data_->to_rad_s() + margin && pole.real() > -kMostDamping * pole.imag();
}

void RingFit::project() {
  const Eigen::Index rows = data_->bins.rows();
  const auto count = static_cast<Eigen::Index>(poles_.size());
  Eigen::MatrixXcd all(rows, smooth_ + count);
  for (Eigen::Index k = 0; k < rows; ++k) {
    const double x = rows > 1 ? 2.0 * static_cast<double>(k) / static_cast<double>(rows - 1) - 1 : 0.0;
    double before = 0, now = 1;  // Chebyshev polynomials by their recurrence
    for (Eigen::Index q = 0; q < smooth_; ++q) {
      all(k, q) = now;
      const double next = q == 0 ? x : 2 * x * now - before;
      before = now;
      now = next;
    }
  }
  if (smooth_ > 0) all.leftCols(smooth_) = data_->weighed(all.leftCols(smooth_));
  std::vector<double> norms;
  for (Eigen::Index m = 0; m < count; ++m) {
    all.col(smooth_ + m) = column(poles_[static_cast<std::size_t>(m)]);
    norms.push_back(all.col(smooth_ + m).norm());
    all.col(smooth_ + m) /= norms.back();
  }
  const Eigen::HouseholderQR<Eigen::MatrixXcd> qr(all);
  basis_ = qr.householderQ() * Eigen::MatrixXcd::Identity(rows, all.cols());
  const Eigen::MatrixXcd seen = basis_.adjoint() * data_->bins;
  rest_ = data_->bins - basis_ * seen;
  misfit_ = rest_.squaredNorm();
  Eigen::MatrixXcd upper = qr.matrixQR().topRows(all.cols()).triangularView<Eigen::Upper>();
  // Two poles that have become one leave no separate amplitudes: a grain of damping keeps them finite.
  for (Eigen::Index i = 0; i < upper.rows(); ++i)
    if (std::abs(upper(i, i)) < 1e-9) upper(i, i) = 1e-9;
  const Eigen::MatrixXcd solved = upper.triangularView<Eigen::Upper>().solve(seen);
  amounts_ = solved.bottomRows(count);
  for (Eigen::Index m = 0; m < count; ++m) amounts_.row(m) /= norms[static_cast<std::size_t>(m)];
}

void RingFit::set_poles(std::vector<Pole> poles) {
  poles_ = std::move(poles);
  project();
}

void RingFit::improve(int most_steps, std::size_t first_free) {
  if (poles_.size() <= first_free) return;
  const auto count = static_cast<Eigen::Index>(poles_.size() - first_free);
  const auto first = static_cast<Eigen::Index>(first_free);
  double damping = 1e-3;
  for (int step = 0; step < most_steps; ++step) {
    Eigen::MatrixXcd slopes(data_->bins.rows(), count);
    for (Eigen::Index m = 0; m < count; ++m) slopes.col(m) = slope(poles_[first_free + static_cast<std::size_t>(m)]);
    slopes -= (basis_ * (basis_.adjoint() * slopes)).eval();
    const Eigen::MatrixXcd own = amounts_.bottomRows(count);
    const Eigen::MatrixXcd between = (own * own.adjoint()).conjugate();
    const Eigen::MatrixXcd normal = ((slopes.adjoint() * slopes).array() * between.array()).matrix();
    const Eigen::MatrixXcd seen = slopes.adjoint() * rest_;
    const Eigen::VectorXcd side = (seen.array() * own.conjugate().array()).rowwise().sum().matrix();
    const double before = misfit_;
    const auto poles_before = poles_;
    const Eigen::MatrixXcd basis_before = basis_, amounts_before = amounts_, rest_before = rest_;
    bool better = false;
    for (int tries = 0; tries < 8 && !better; ++tries) {
      Eigen::MatrixXcd damped = normal;
      for (Eigen::Index m = 0; m < count; ++m) damped(m, m) += damping * normal(m, m).real() + 1e-300;
      const Eigen::VectorXcd move = damped.ldlt().solve(side);
      bool inside = move.allFinite();
      for (Eigen::Index m = 0; inside && m < count; ++m) {
        Pole& pole = poles_[static_cast<std::size_t>(first + m)];
        pole = poles_before[static_cast<std::size_t>(first + m)] + move[m];
        pole = {std::min(pole.real(), -kLeastDecayPerRing / data_->ring_s()), pole.imag()};
        inside = allowed(pole);
      }
      if (inside) {
        project();
        better = misfit_ < before;
      }
      if (!better) damping *= 8;
    }
    if (!better) {
      poles_ = poles_before;
      basis_ = basis_before;
      amounts_ = amounts_before;
      rest_ = rest_before;
      misfit_ = before;
      break;
    }
    damping = std::max(damping / 10, 1e-9);
    if (before - misfit_ < kConverged * before) break;
  }
}

double RingFit::noise_power() const {
  const auto rings = static_cast<double>(data_->bins.cols());
  const double fitted = rings * static_cast<double>(smooth_ + static_cast<Eigen::Index>(poles_.size())) + static_cast<double>(poles_.size());
  return std::max(1.0, misfit_ / std::max(1.0, rings * static_cast<double>(data_->bins.rows()) - fitted));
}

double RingFit::criterion() const {
  // A complex bin is two numbers, a pole two, an amplitude two.
  const auto rings = static_cast<double>(data_->bins.cols());
  const double numbers = 2 * rings * static_cast<double>(data_->bins.rows());
  const double fitted = 2 * static_cast<double>(poles_.size()) * (1 + rings);
  // A misfit below what was expected is no evidence: there the scale is known.
  const double per_number = misfit_ / (0.5 * numbers);
  return numbers * (per_number > 1 ? 1 + std::log(per_number) : per_number) + fitted * std::log(numbers);
}

std::vector<double> RingFit::weights_of(std::size_t pole) const {
  auto others = poles_;
  others.erase(others.begin() + static_cast<std::ptrdiff_t>(pole));
  RingFit without(*data_, static_cast<int>(smooth_));
  without.set_poles(others);
  const double noise = noise_power();
  std::vector<double> weights;
  for (Eigen::Index j = 0; j < data_->bins.cols(); ++j)
    weights.push_back((without.rest_.col(j).squaredNorm() - rest_.col(j).squaredNorm()) / noise);
  return weights;
}

double RingFit::weight_of(std::size_t pole) const {
  double sum = 0;
  for (const double weight : weights_of(pole)) sum += weight;
  return sum;
}

double RingFit::spread_of(std::size_t pole) const {
  const auto count = static_cast<Eigen::Index>(poles_.size());
  Eigen::MatrixXcd slopes(data_->bins.rows(), count);
  for (Eigen::Index m = 0; m < count; ++m) slopes.col(m) = slope(poles_[static_cast<std::size_t>(m)]);
  slopes -= (basis_ * (basis_.adjoint() * slopes)).eval();
  const Eigen::MatrixXcd normal = ((slopes.adjoint() * slopes).array() * (amounts_ * amounts_.adjoint()).conjugate().array()).matrix();
  Eigen::VectorXcd unit = Eigen::VectorXcd::Zero(count);
  unit[static_cast<Eigen::Index>(pole)] = 1;
  const double inverse = normal.ldlt().solve(unit)[static_cast<Eigen::Index>(pole)].real();
  return std::isfinite(inverse) && inverse > 0 ? std::sqrt(inverse * noise_power() / 2) : 1e300;
}

std::vector<double> RingFit::amplitudes_of(std::size_t pole) const {
  // |A (1 − zᴺ)| / sqrt(N) stands before the column; a real sinusoid has twice the modulus.
  const auto samples = static_cast<double>(data_->ring_samples);
  const double left = std::abs(1.0 - std::exp(poles_[pole] * data_->ring_s()));
  std::vector<double> amplitudes;
  for (Eigen::Index j = 0; j < data_->bins.cols(); ++j)
    amplitudes.push_back(2 * std::abs(amounts_(static_cast<Eigen::Index>(pole), j)) * std::sqrt(samples) / std::max(left, 1e-12));
  return amplitudes;
}

Eigen::VectorXd RingFit::gains_of(const Eigen::MatrixXcd& columns) const {
  const Eigen::ArrayXd all = columns.colwise().squaredNorm().transpose().array();
  const Eigen::ArrayXd left = all - (basis_.adjoint() * columns).colwise().squaredNorm().transpose().array();
  const Eigen::ArrayXd seen = (columns.adjoint() * rest_).rowwise().squaredNorm().array();
  return (left > 1e-6 * all).select(seen / left, 0).matrix();
}

}  // namespace hushmill::tap
