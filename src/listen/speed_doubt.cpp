#include "listen/speed_doubt.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace hushmill::listen {

namespace {
constexpr int kEveryRows = 3;  // looks are about 0.13 s apart
constexpr int kLooks = 3;
constexpr double kDoubtHighestHz = 7000;
constexpr double kDoubtLeastLines = 4;  // of full weight
constexpr double kLimitShare = 0.9;
constexpr double kWeakDb = 5;
constexpr double kClearDb = 12;     // a line this far over the background is there
constexpr float kDoubtKeep = 0.6F;  // of the presence, from row to row
constexpr double kReachBins = 0.6;
constexpr int kMostOrders = 40;
constexpr int kLeastOrders = 4;
constexpr double kThere = 0.85;  // chance that a multiple of the true comb is heard
constexpr double kLeastPresent = 0.65;
constexpr double kPoor = 0.45;  // with more of its multiples there, the entered comb is not in doubt
constexpr double kLost = 0.3;
constexpr int kLostLooks = 3;
constexpr double kMarginNats = 10;
constexpr double kLostNats = 6;  // the knob was turned: only where to is the question
constexpr double kStillThere = 0.3;
constexpr double kNearRatio = 0.02;    // a spindle is at most this far off what is shown
constexpr double kKnownRatio = 0.006;  // and what it sags by on the way
constexpr double kDoubtStep = 0.0003;
constexpr int kMostFlutes = 8;
constexpr double kFluteMarginNats = 14;  // the comb is found, only its teeth are in question
constexpr double kNatsPerStep = 1.5;     // an override step is one slip of the hand, two are less likely
constexpr double kNatsPerFlute = 1.5;
constexpr double kSameWithin = 0.01;
constexpr std::array<double, 10> kOverride{0.9, 1.1, 0.8, 1.2, 0.7, 1.3, 0.6, 1.4, 0.5, 1.5};

bool same(const std::optional<OtherFit>& a, const std::optional<OtherFit>& b) noexcept {
  if (!a || !b) return !a && !b;
  return a->flutes == b->flutes && std::abs(a->spindle_rpm / b->spindle_rpm - 1.0) < kSameWithin;
}
}  // namespace

SpeedDoubt::SpeedDoubt(std::size_t long_bins) : present_(long_bins, 0.0F) {}

void SpeedDoubt::expect(double spindle_rpm, int flutes) noexcept {
  entered_rpm_ = spindle_rpm;
  entered_flutes_ = flutes;
  rows_ = 0;
  agreeing_ = 0;
  trusted_looks_ = 0;
  suspicious_looks_ = 0;
  lost_looks_ = 0;
  last_.reset();
  other_.reset();
}

bool SpeedDoubt::process(std::span<const signal::Line> lines, double bin_hz, const Comb& comb, bool singing) noexcept {
  mark(lines, bin_hz);
  if (++rows_ % kEveryRows != 0) return false;
  // Lines of chatter shall not unseat a comb that was found before it, as long as that comb is still there.
  lost_looks_ = trusted() && limit_hz_ > 0 && fit_spacing(comb.tooth_hz()).present < kLost ? lost_looks_ + 1 : 0;
  if (singing && trusted() && lost_looks_ < kLostLooks) return false;
  // A moment without clear lines says nothing new. A comb may be found by chance at a wrong speed: a far better one
  // goes first. Period doubling is a comb of half the spacing: while something sings, nothing is said of the flutes.
  std::optional<OtherFit> found = other_;
  if (limit_hz_ > 0) {
    // A cutter grows no teeth: finer lines on a comb that was found right are chatter that doubles its period.
    const auto grown = [&](const std::optional<OtherFit>& fit) {
      if (!fit || other_ || !trusted()) return false;
      const double teeth = entered_rpm_ * entered_flutes_ / (fit->spindle_rpm * fit->flutes);
      return teeth > 1.5 && std::abs(teeth - std::nearbyint(teeth)) < kSameWithin * teeth;
    };
    auto speed = look_for_speed(comb);
    auto flutes = comb.measured && !singing ? look_for_flutes(comb) : std::optional<OtherFit>();
    if (grown(speed)) speed.reset();
    if (grown(flutes)) flutes.reset();
    if (speed) {
      // Teeth alone tell only flutes times speed; runout on the entered speed's comb tells which of the two is wrong.
      const bool alike =
          flutes &&
          std::abs(flutes->spindle_rpm * flutes->flutes / (speed->spindle_rpm * speed->flutes) - 1.0) < kSameWithin;
      found = alike ? flutes : speed;
    } else if (comb.measured && !singing) {
      found = flutes;
      if (!found) ++trusted_looks_;
    }
  }
  agreeing_ = same(found, last_) ? agreeing_ + 1 : 1;
  last_ = found;
  suspicious_looks_ = found && !same(found, other_) ? kLooks : std::max(0, suspicious_looks_ - 1);
  if (agreeing_ < kLooks || same(found, other_)) return false;
  other_ = found;
  return true;
}

void SpeedDoubt::vouch() noexcept {
  trusted_looks_ = kLooks;
  suspicious_looks_ = lost_looks_ = agreeing_ = 0;
  last_ = other_;
}

bool SpeedDoubt::trusted() const noexcept { return trusted_looks_ >= kLooks || other_; }

bool SpeedDoubt::suspicious() const noexcept { return suspicious_looks_ > 0; }

void SpeedDoubt::mark(std::span<const signal::Line> lines, double bin_hz) noexcept {
  for (float& mark : present_) mark *= kDoubtKeep;
  bin_hz_ = bin_hz;
  limit_hz_ = 0;
  double clear = 0;
  std::array<double, 96> clear_hz{};
  std::size_t count = 0;
  for (const auto& line : lines) {
    if (line.hz > kDoubtHighestHz) continue;
    const double db = 10.0 * std::log10(line.over);
    const auto weight = static_cast<float>(std::clamp((db - kWeakDb) / (kClearDb - kWeakDb), 0.0, 1.0));
    clear += static_cast<double>(weight);
    if (weight >= 0.9F && count < clear_hz.size()) clear_hz[count++] = line.hz;
    const double reach = kReachBins + 0.5 * kDoubtStep * line.hz / bin_hz;
    const auto from = static_cast<std::ptrdiff_t>(std::lround(line.hz / bin_hz - reach));
    const auto to = static_cast<std::ptrdiff_t>(std::lround(line.hz / bin_hz + reach));
    for (std::ptrdiff_t k = std::max<std::ptrdiff_t>(0, from);
         k <= to && k < static_cast<std::ptrdiff_t>(present_.size()); ++k) {
      auto& mark = present_[static_cast<std::size_t>(k)];
      mark = std::min(1.0F, mark + (1.0F - kDoubtKeep) * weight);
    }
  }
  // A few noises far up must not make a comb whose upper multiples are drowned look poor.
  if (clear >= kDoubtLeastLines && count > 0) {
    const auto place = clear_hz.begin() + static_cast<std::ptrdiff_t>(kLimitShare * static_cast<double>(count - 1));
    std::nth_element(clear_hz.begin(), place, clear_hz.begin() + static_cast<std::ptrdiff_t>(count));
    limit_hz_ = *place;
  }
  double sum = 0;
  const auto last = std::min(present_.size(), static_cast<std::size_t>(limit_hz_ / bin_hz) + 1);
  for (std::size_t k = 0; k < last; ++k) sum += static_cast<double>(present_[k]);
  covered_ = std::clamp(sum / static_cast<double>(std::max<std::size_t>(1, last)), 0.02, 0.6);
}

double SpeedDoubt::presence(double hz) const noexcept {
  const auto k = static_cast<std::size_t>(hz / bin_hz_ + 0.5);  // NOLINT(bugprone-incorrect-roundings): never negative, and the innermost loop
  return k < present_.size() ? static_cast<double>(present_[k]) : 0.0;
}

SpeedDoubt::Fit SpeedDoubt::fit_spacing(double tooth_hz) const noexcept {
  Fit fit;
  const int orders = std::min(kMostOrders, static_cast<int>(limit_hz_ / tooth_hz));
  if (orders < kLeastOrders) return fit;
  const double hit = std::log(kThere / covered_);
  const double miss = std::log((1.0 - kThere) / (1.0 - covered_));
  double there = 0;
  for (int k = 1; k <= orders; ++k) there += presence(k * tooth_hz);
  fit.present = there / orders;
  fit.nats = there * hit + (orders - there) * miss;
  return fit;
}

SpeedDoubt::Fit SpeedDoubt::best_near(double spindle_rpm, int flutes, double within) const noexcept {
  Fit best;
  best.nats = -1e300;
  const int steps = static_cast<int>(within / kDoubtStep);
  for (int i = -steps; i <= steps; ++i) {
    const double rpm = spindle_rpm * (1.0 + kDoubtStep * i);
    Fit fit = fit_spacing(rpm / 60.0 * flutes);
    if (fit.nats > best.nats) {
      best = fit;
      best.fit = {rpm, flutes};
    }
  }
  return best;
}

std::optional<OtherFit> SpeedDoubt::look_for_speed(const Comb& comb) const noexcept {
  // Nearly always the comb that is listened with is the entered one and full of lines: nothing to search for.
  const bool of_entered =
      comb.flutes == entered_flutes_ && std::abs(60.0 * comb.rotation_hz / entered_rpm_ - 1.0) < kNearRatio;
  if (comb.measured && of_entered && fit_spacing(comb.tooth_hz()).present > kPoor) return std::nullopt;
  // By how much the spindle is off what is shown is known once its comb was found; chance fits less in the little that
  // is left then.
  const bool lost = lost_looks_ >= kLostLooks;
  const double off = lost && comb.measured && of_entered ? 60.0 * comb.rotation_hz / entered_rpm_ : 1.0;
  const double within = lost ? kKnownRatio : kNearRatio;
  const Fit entered = best_near(entered_rpm_ * off, entered_flutes_, within);
  if (entered.present > kPoor) return std::nullopt;
  Fit best;
  const auto offer = [&](double rpm, int flutes, double toll_nats) {
    Fit fit = best_near(rpm * off, flutes, within);
    fit.nats -= toll_nats;
    // The first of two that fit alike stays: the likelier slip.
    if (fit.present >= kLeastPresent && fit.nats > best.nats + 1.0) best = fit;
  };
  for (const double ratio : kOverride) {
    const double toll = kNatsPerStep * (std::abs(ratio - 1.0) / 0.1 - 1.0);
    offer(entered_rpm_ * ratio, entered_flutes_, toll);
    offer(entered_rpm_ / ratio, entered_flutes_, toll);
  }
  for (int flutes = 2; flutes <= kMostFlutes; ++flutes)
    if (flutes != entered_flutes_) offer(entered_rpm_, flutes, kNatsPerFlute * std::abs(flutes - entered_flutes_));
  const double margin = lost ? kLostNats : kMarginNats;
  if (best.nats < margin || best.nats < entered.nats + margin) return std::nullopt;
  return best.fit;
}

std::optional<OtherFit> SpeedDoubt::look_for_flutes(const Comb& comb) const noexcept {
  // How likely the presence of every rotation multiple is, if every `flutes`th is a tooth's and the rest is runout of
  // some strength. Too fine a comb cannot be told apart.
  const double rotation_hz = comb.rotation_hz;
  if (rotation_hz < 4.0 * bin_hz_) return other_;
  const int orders = std::min(120, static_cast<int>(limit_hz_ / rotation_hz));
  struct Weighed {
    double nats = 0;
    double present = 0;
  };
  const auto weigh = [&](int flutes) {
    double teeth = 0, others = 0;
    int tooth_count = 0;
    for (int k = 1; k <= orders; ++k) {
      const double there = presence(k * rotation_hz);
      if (k % flutes == 0) {
        teeth += there;
        ++tooth_count;
      } else {
        others += there;
      }
    }
    const int other_count = orders - tooth_count;
    const double runout = std::clamp(other_count > 0 ? others / other_count : 0.5, 0.03, 0.97);
    return Weighed{teeth * std::log(kThere) + (tooth_count - teeth) * std::log(1.0 - kThere) +
                       others * std::log(runout) + (other_count - others) * std::log(1.0 - runout) -
                       kNatsPerFlute * std::abs(flutes - entered_flutes_),
                   teeth / std::max(1, tooth_count)};
  };
  // Part of the entered teeth's multiples that are there although they would be no teeth of `flutes`: that few
  // harmonics of the entered teeth are strong is no reason for doubt, only that they are missing.
  const auto denied = [&](int flutes) {
    double there = 0;
    int count = 0;
    for (int k = entered_flutes_; k <= orders; k += entered_flutes_)
      if (k % flutes != 0) {
        there += presence(k * rotation_hz);
        ++count;
      }
    return count > 0 ? there / count : 0.0;
  };
  const Weighed entered = weigh(entered_flutes_);
  double best = entered.nats + kFluteMarginNats;
  std::optional<OtherFit> found;
  for (int flutes = 1; flutes <= kMostFlutes && orders >= kLeastOrders * flutes; ++flutes) {
    if (flutes == entered_flutes_ || denied(flutes) > kStillThere) continue;
    const Weighed other = weigh(flutes);
    if (other.present < kLeastPresent || other.nats <= best) continue;
    best = other.nats;
    found = OtherFit{60.0 * rotation_hz, flutes};
  }
  // The comb that is listened with may already be another one: it stands as long as the entered speed does not fit.
  if (!found && std::abs(60.0 * rotation_hz / entered_rpm_ - 1.0) > 0.03)
    return OtherFit{60.0 * rotation_hz, comb.flutes};
  return found;
}

}  // namespace hushmill::listen
