#include "listen/chatter_lattice.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

namespace hushmill::listen {

namespace {
constexpr double kLatticeStep = 0.0004;
constexpr int kLatticeSteps = 70;  // 2.8 %: what is granted to a spindle that sags, or is not what was entered
constexpr double kLatticeLeastBins = 7;
constexpr double kLatticeWidthBins = 0.35;
constexpr double kLatticeHighestHz = 7000;
constexpr std::size_t kLatticeMostLines = 32;
constexpr std::size_t kLatticeFounders = 3;
constexpr double kLatticeOrders = 5;    // of the teeth, beside a multiple of the tone: further ones are weak
constexpr double kLatticeShare = 0.75;  // of all lines must be explained
constexpr double kLatticeAgree = 0.0009;
constexpr double kLatticeHere = 0.0015;  // a nearer spacing is the comb's own
constexpr int kLatticeSeries = 16;  // harmonic of a series that the founder may be
constexpr double kLatticeSeriesFromHz = 40;
constexpr double kLatticeTeethGone = 1.2;  // full lines: a comb that still has its teeth is not moved
constexpr double kLatticeWiden = 0.15;     // of the width, for every further multiple of the tone

double lattice_weight(const signal::Line& line, const LatticeTerms& terms) noexcept {
  return std::clamp((10.0 * std::log10(line.over) - terms.from_db) / (terms.full_db - terms.from_db), 0.0, 1.0);
}

struct LatticeLine {
  double hz = 0;
  double weight = 0;
};

struct LatticeFit {
  double value = -1e9;  // full lines explained beyond chance
  double share = 0;     // explained part of what could be
};

// 1 on a whole multiple of the spacing (not the zeroth, none above `most`), 0 from twice the width on; in hertz.
double on_multiple(double hz, double tooth_hz, double width_hz, double most = 1e9) noexcept {
  const double orders = std::abs(hz) / tooth_hz;
  const double nearest = std::nearbyint(orders);
  return nearest < 1 || nearest > most ? 0.0 : std::max(0.0, 1.0 - std::abs(orders - nearest) * tooth_hz / (2.0 * width_hz));
}

bool harmonic_of(double hz, double founder_hz, double width_hz) noexcept {
  const double orders = hz / founder_hz;
  const double nearest = std::nearbyint(orders);
  return nearest >= 1 && std::abs(hz - nearest * founder_hz) < width_hz * (1 + nearest);
}

// Where teeth, runout, tone and every harmonic series are the same places.
bool ambiguous_place(double founder_hz, double tooth_hz, int flutes, double width_hz) noexcept {
  const double rest = std::fmod(founder_hz, tooth_hz) / tooth_hz;
  const double place = std::min(rest, 1 - rest);
  for (const double taken : {0.0, 1.0 / 5, 1.0 / 4, 1.0 / 3, 2.0 / 5, 1.0 / 2})
    if (std::abs(place - taken) * tooth_hz < 1.2 * width_hz) return true;
  const double turns = place * flutes;  // runout
  return std::abs(turns - std::nearbyint(turns)) * tooth_hz < 4 * width_hz * flutes;
}

// Full lines beyond chance that are harmonics of one tone, founder / k: a voice, a pump, the mains.
double fit_series(std::span<const LatticeLine> lines, double founder_hz, double width_hz) noexcept {
  double most = 0;
  for (int k = 2; k <= kLatticeSeries && founder_hz / k >= kLatticeSeriesFromHz; ++k) {
    const double base_hz = founder_hz / k;
    const double chance = std::min(1.0, 2.0 * width_hz / base_hz);
    double value = 0;
    for (const auto& line : lines) value += line.weight * (on_multiple(line.hz, base_hz, width_hz) - chance);
    most = std::max(most, value);
  }
  return most;
}

LatticeFit fit_lattice(std::span<const LatticeLine> lines, double founder_hz, int multiples, double tooth_hz, double width_hz) noexcept {
  double chance = 1;
  for (int a = 0; a <= multiples; ++a)
    chance *= std::max(0.0, 1.0 - (a == 0 ? 1 : 2) * 2.0 * width_hz * (1 + kLatticeWiden * std::max(0, a - 1)) / tooth_hz);
  chance = 1 - chance;
  LatticeFit fit{0, 0};
  double all = 0, hits = 0;
  for (const auto& line : lines) {
    double best = on_multiple(line.hz, tooth_hz, width_hz);
    for (int a = 1; a <= multiples && best < 1; ++a) {
      const double width = width_hz * (1 + kLatticeWiden * (a - 1));
      const double most = a == 1 ? 1e9 : kLatticeOrders;
      best = std::max({best, on_multiple(line.hz - a * founder_hz, tooth_hz, width, most), on_multiple(line.hz + a * founder_hz, tooth_hz, width, most)});
    }
    fit.value += line.weight * (best - chance);
    hits += line.weight * (best > 0 ? 1.0 : 0.0);
    all += line.weight;
  }
  fit.share = all > 0 ? hits / all : 0;
  return fit;
}
// The lines that a spacing may explain: what is on the founder's harmonics fits every spacing.
struct LatticeLines {
  std::array<LatticeLine, kLatticeMostLines> lines;
  std::size_t count = 0;
  std::span<const LatticeLine> all() const noexcept { return {lines.data(), count}; }
};

LatticeLines beside_harmonics(std::span<const signal::Line> lines, double founder_hz, double width_hz, const LatticeTerms& terms) noexcept {
  LatticeLines beside;
  for (const auto& line : lines) {
    const double weight = lattice_weight(line, terms);
    if (weight > 0 && line.hz <= kLatticeHighestHz && !harmonic_of(line.hz, founder_hz, width_hz)) beside.lines[beside.count++] = {line.hz, weight};
  }
  return beside;
}

// The teeth alone, at whatever spacing suits them, or one series of harmonics, explain the lines nearly as well.
bool explained_without(std::span<const LatticeLine> lines, double founder_hz, double tooth_hz, double width_hz, double value,
                       const LatticeTerms& terms) noexcept {
  if (fit_series(lines, founder_hz, width_hz) > value - terms.series_margin) return true;
  double plain = 0;
  for (int i = -kLatticeSteps; i <= kLatticeSteps; ++i)
    plain = std::max(plain, fit_lattice(lines, founder_hz, 0, (1.0 + kLatticeStep * i) * tooth_hz, width_hz).value);
  return plain > value - terms.margin;
}

// Full lines that stand on the comb's own teeth.
double teeth_there(std::span<const signal::Line> lines, double tooth_hz, double width_hz, const LatticeTerms& terms) noexcept {
  double teeth = 0;
  for (const auto& line : lines)
    if (line.hz <= kLatticeHighestHz) teeth += lattice_weight(line, terms) * on_multiple(line.hz, tooth_hz, 2 * width_hz);
  return teeth;
}
}  // namespace

// The factor at which most is explained; none if nothing else than a tone between displaced teeth may be the reason.
std::optional<double> ChatterLattice::look(std::span<const signal::Line> lines, double bin_hz, const Comb& comb,
                                           const LatticeTerms& terms) noexcept {
  const double width_hz = kLatticeWidthBins * bin_hz;
  const double tooth_hz = comb.tooth_hz();
  const int explained = std::exchange(explained_, 0);
  if (tooth_hz < kLatticeLeastBins * bin_hz || (comb.measured && teeth_there(lines, tooth_hz, width_hz, terms) > kLatticeTeethGone)) return std::nullopt;
  double here_value = 0;
  double best_value = 0;
  double best_factor = 1;
  bool other_reason = false;
  for (const auto& founder : lines.first(std::min(kLatticeFounders, lines.size()))) {
    const auto beside = beside_harmonics(lines, founder.hz, width_hz, terms);
    LatticeFit best;
    double factor = 1;
    for (int i = -kLatticeSteps; i <= kLatticeSteps; ++i) {
      const double here = 1.0 + kLatticeStep * i;
      const LatticeFit fit = fit_lattice(beside.all(), founder.hz, terms.multiples, here * tooth_hz, width_hz);
      if (fit.share < kLatticeShare) continue;
      if (comb.measured && std::abs(here - 1) <= kLatticeHere) {
        here_value = std::max(here_value, fit.value);
      } else if (fit.value > best.value) {
        best = fit;
        factor = here;
      }
    }
    if (best.value < terms.least || best.value <= best_value) continue;
    best_value = best.value;
    best_factor = factor;
    other_reason = ambiguous_place(founder.hz, factor * tooth_hz, comb.flutes, width_hz) ||
                   explained_without(beside.all(), founder.hz, tooth_hz, width_hz, best.value, terms);
  }
  if (here_value >= terms.least) explained_ = explained + 1;
  if (best_value <= 0 || other_reason || best_value < here_value + terms.margin) return std::nullopt;
  return best_factor;
}

std::optional<double> ChatterLattice::process(std::span<const signal::Line> lines, double bin_hz, const Comb& comb,
                                              const LatticeTerms& terms) noexcept {
  const auto found = look(lines.first(std::min(kLatticeMostLines, lines.size())), bin_hz, comb, terms);
  agreeing_ = !found ? 0 : agreeing_ > 0 && std::abs(*found - last_) < kLatticeAgree ? agreeing_ + 1 : 1;
  last_ = found.value_or(1);
  if (agreeing_ < terms.looks) return std::nullopt;
  agreeing_ = 0;
  return found;
}

}  // namespace hushmill::listen
