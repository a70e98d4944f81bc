#include "tap/modes.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "tap/band_modes.hpp"
#include "tap/echo_fit.hpp"

namespace hushmill::tap {

namespace {
constexpr double kLowestHz = 45;
constexpr double kHighestHz = 11000;
const double kBandStep = std::exp2(1.0 / 8);      // from middle to middle; also half of the inner zone
const double kBandHalf = std::exp2(1.0 / 4);      // half an octave in all
constexpr double kBroadDamping = 0.02;            // a mode damped so much is looked at in twice that
constexpr double kMostSpread = 0.4;               // of the decay
constexpr double kSureSpread = 5e-4;              // of the frequency: measured well, even where the next tap comes before it has decayed
constexpr double kLeastWeight = 30;               // in units of the noise, over all taps
constexpr double kOverRoom = 2;                   // amplitude over that of the room's tone at the same place
constexpr double kWeakestDb = -32;                // energy against the strongest
constexpr double kSkirt = 12;                     // half-widths of the stronger mode within which a weaker one is doubted
constexpr double kCompanionDb = -14;              // there it must be this strong, at its own peak

double hz_of(const Evidence& e) { return e.pole.imag() / (2 * std::numbers::pi); }
double decay_of(const Evidence& e) { return -e.pole.real(); }
// Height of its peak in the spectrum of a ring.
double peak_of(const Evidence& e) { return e.amplitude / decay_of(e); }

bool same(const Evidence& a, const Evidence& b) {
  const double apart = std::abs(a.pole.imag() - b.pole.imag());
  return apart < 3 * (a.spread_rad_s + b.spread_rad_s) + 0.5 * std::min(decay_of(a), decay_of(b)) + 2e-4 * a.pole.imag();
}

// Looks at one mode once more, in a band around it and in the way that suits its decay. False when it is not there.
bool look_again(Rings& rings, Evidence& mode) {
  for (int pass = 0; pass < 2; ++pass) {
    const double hz = hz_of(mode);
    const double half = Rings::is_broad(decay_of(mode)) && decay_of(mode) > kBroadDamping * mode.pole.imag() ? kBandHalf * kBandHalf : kBandHalf;
    const auto plain = rings.band(hz / half, std::min(hz * half, rings.highest_hz()));
    if (plain.bins.rows() < 8) return false;
    const auto data = rings.looked_at_for(plain, decay_of(mode));
    const auto poles = band_poles(data);
    const auto seen = evidence_of(data, poles);
    // The heaviest of those near it: a mode that the room has split in two comes back as one.
    std::size_t best = seen.size();
    for (std::size_t m = 0; m < seen.size(); ++m) {
      if (std::abs(seen[m].pole.imag() - mode.pole.imag()) > decay_of(mode) + 4e-3 * mode.pole.imag() || seen[m].pole.real() >= 0) continue;
      if (best == seen.size() || seen[m].weight > seen[best].weight) best = m;
    }
    if (best == seen.size()) return false;
    const double ratio = decay_of(seen[best]) / decay_of(mode);
    mode = seen[best];
    if (pass == 0 && (ratio > 1.5 || ratio < 0.67)) continue;  // looked at in a way that does not suit it
    mode = full_evidence_of(data, poles, best);
    return true;
  }
  return false;
}
}  // namespace

FoundModes find_modes(Rings& rings) {
  FoundModes found;
  std::vector<Evidence> candidates;
  const double highest_hz = std::min(kHighestHz, rings.highest_hz() / kBandHalf);
  for (double middle_hz = kLowestHz; middle_hz <= highest_hz * kBandStep; middle_hz *= kBandStep * kBandStep) {
    const auto data = rings.band(middle_hz / kBandHalf, std::min(middle_hz * kBandHalf, rings.highest_hz()));
    if (data.bins.rows() < 8) continue;
    for (const auto& e : evidence_of(data, band_poles(data))) {
      const double hz = hz_of(e);
      if (hz < middle_hz / kBandStep || hz >= middle_hz * kBandStep) continue;
      const double near_hz = decay_of(e) / (2 * std::numbers::pi) + 2 * rings.rate() / static_cast<double>(rings.room_samples());
      if (e.amplitude < kOverRoom * rings.room_peak(hz - near_hz, hz + near_hz)) {
        if (decay_of(e) * data.ring_s() < 1 && e.weight > kLeastWeight) found.room_tones_hz.push_back(hz);
      } else if (e.weight > kLeastWeight) {
        candidates.push_back(e);
      }
    }
  }
  double strongest = 0;
  for (const auto& e : candidates) strongest = std::max(strongest, e.energy);
  std::vector<Evidence> seen;
  for (auto e : candidates) {
    if (10 * std::log10(e.energy / strongest) < kWeakestDb - 10) continue;
    if (!look_again(rings, e)) continue;
    const double hz = hz_of(e);
    const double near_hz = decay_of(e) / (2 * std::numbers::pi) + 2 * rings.rate() / static_cast<double>(rings.room_samples());
    if (e.amplitude < kOverRoom * rings.room_peak(hz - near_hz, hz + near_hz)) continue;
    if (e.spread_rad_s > std::max(kMostSpread * decay_of(e), kSureSpread * e.pole.imag()) || e.weight < kLeastWeight) continue;
    if (2 * e.taps_agreeing < static_cast<int>(rings.count())) continue;
    const auto known = std::find_if(seen.begin(), seen.end(), [&](const auto& other) { return same(other, e); });
    if (known == seen.end())
      seen.push_back(e);
    else if (e.spread_rad_s / decay_of(e) < known->spread_rad_s / decay_of(*known))
      *known = e;
  }
  strongest = 0;
  for (const auto& e : seen) strongest = std::max(strongest, e.energy);
  std::sort(seen.begin(), seen.end(), [](const auto& a, const auto& b) { return peak_of(a) > peak_of(b); });
  for (const auto& e : seen) {
    if (10 * std::log10(e.energy / strongest) < kWeakestDb) continue;
    const bool companion = std::any_of(found.modes.begin(), found.modes.end(), [&](const auto& other) {
      return std::abs(other.pole.imag() - e.pole.imag()) < kSkirt * decay_of(other) && 20 * std::log10(peak_of(e) / peak_of(other)) < kCompanionDb;
    });
    if (companion) continue;
    found.modes.push_back(e);
  }
  std::sort(found.modes.begin(), found.modes.end(), [](const auto& a, const auto& b) { return a.pole.imag() < b.pole.imag(); });
  std::sort(found.room_tones_hz.begin(), found.room_tones_hz.end());
  const auto doubled = std::unique(found.room_tones_hz.begin(), found.room_tones_hz.end(), [](double a, double b) { return b < a * 1.01; });
  found.room_tones_hz.erase(doubled, found.room_tones_hz.end());
  fit_with_echoes(rings, found.modes, found.room_tones_hz);
  return found;
}

}  // namespace hushmill::tap
