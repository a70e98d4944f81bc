#include "listen/episode_book.hpp"

#include <algorithm>
#include <cmath>

#include "listen/heard_band.hpp"
#include "signal/decibel.hpp"

namespace hushmill::listen {

namespace {
constexpr double kLowestHz = 60;
constexpr double kReturnWithin = 0.08;   // of the frequency
constexpr double kSmooth = 0.25;         // of a new row's level
constexpr double kFrequencyKeep = 0.97;  // from long row to long row
constexpr int kLobeBins = 2;             // a Hann line's power lies within two bins of its top

// Calls f(order, sign, hz) for every place of the family in the band. A period-doubling family has one place an order.
template <typename F>
void each_place(double offset_hz, double tooth_hz, bool period_doubling, double last_hz, F&& f) {
  for (int k = 0; k * tooth_hz - offset_hz < last_hz; ++k) {
    const double below = k * tooth_hz - offset_hz;
    const double above = k * tooth_hz + offset_hz;
    if (!period_doubling && below >= kLowestHz && below < last_hz) f(k, -1, below);
    if (above >= kLowestHz && above < last_hz) f(k, 1, above);
  }
}
}  // namespace

void EpisodeBook::open(const Track& track, const Row& row) {
  open_ = true;
  alive_ = true;
  offset_hz_ = track.offset_hz;
  tooth_hz_ = row.comb.tooth_hz();
  peak_power_ = track.power;
  strongest_power_ = track.strongest_power;
  growth_db_s_ = track.growth_db_s;
  last_db_ = signal::power_db(track.power);
  last_alive_s_ = row.t_s;
  share_family_ = 0;
  share_total_ = 0;
  share_now_ = 0;
  members_.clear();
  came_over_ = false;
  earlier_power_sum_ = 0;
  half_within_hz_ = 0;
  chatter_hz_now_ = track.strongest_hz;
  gate_now_ = 0;

  Episode episode;
  episode.start_s = std::max(0.0, track.start_s - 0.5 * row.frame_s);
  episode.alert_s = row.t_s;
  episode.end_s = row.t_s;
  episode.chatter_hz = track.strongest_hz;
  episode.kind = track.period_doubling ? ChatterKind::period_doubling : ChatterKind::hopf;
  episode.peak_dbfs = signal::power_db(track.strongest_power);
  episode.confidence = 1.0 - std::exp(-0.6 * track.nats);
  // Amplitude e-folds per second from decibels of power per second.
  episode.growth_per_s = std::max(0.0, track.most_growth_db_s) / 8.685889638;
  for (std::size_t i = first_of_speed_; i < episodes_.size(); ++i)
    if (std::abs(episodes_[i].chatter_hz - episode.chatter_hz) < kReturnWithin * episode.chatter_hz) {
      episode.return_of = episodes_[i].return_of.value_or(static_cast<int>(i));
      break;
    }
  episodes_.push_back(episode);
}

// Runout rings at every rotation multiple, and at a new speed none of it is known: a family that came over and stands no higher there
// than the multiples beside it, and less high than the teeth, is runout.
bool EpisodeBook::is_runout(const Row& row, double hz, double power) const {
  const Comb& comb = row.comb;
  const double tolerance = comb.rotation_tolerance_hz(hz, row.bin_hz);
  if (tolerance > 0.3 * comb.rotation_hz || comb.off_rotation_hz(hz) > tolerance) return false;
  double others = 0, teeth = 0;
  int count = 0;
  for (int step = -comb.flutes; step <= comb.flutes; ++step) {
    const double beside_hz = (std::round(hz / comb.rotation_hz) + step) * comb.rotation_hz;
    if (beside_hz < kLowestHz || beside_hz > row.highest_hz()) continue;
    const double beside = static_cast<double>(row.power[row.highest_bin(beside_hz, 0.75 * row.bin_hz)]);
    if (comb.on_tooth(beside_hz, row.bin_hz)) teeth = std::max(teeth, beside);
    if (comb.on_tooth(beside_hz, row.bin_hz) || std::abs(comb.folded_hz(beside_hz) - offset_hz_) < 2 * tolerance) continue;
    others = std::max(others, beside);
    ++count;
  }
  return count > 0 && power < settings_.over_runout * others && power < teeth;
}

bool EpisodeBook::follow(const Row& row) {
  if (!open_) return false;
  auto& episode = episodes_.back();
  const double tooth_hz = row.comb.tooth_hz();
  if (std::abs(tooth_hz - tooth_hz_) > 1e-9) {
    // The fitted speed moved a little, or the entered one a lot: the strongest line stays, its place is folded anew.
    double strongest = episode.chatter_hz;
    double most = -1;
    for (auto& [key, member] : members_)
      if (member.power_sum > most) {
        most = member.power_sum;
        strongest = member.place_hz;
      }
    if (std::abs(tooth_hz / tooth_hz_ - 1.0) > 0.004) {
      set_members_aside();
      gate_now_ = 0;  // another speed has another tone
      came_over_ = true;
    }
    offset_hz_ = row.comb.folded_hz(strongest);
    tooth_hz_ = tooth_hz;
  }

  const double last_hz = std::min(kHighestHz, row.highest_hz());
  const bool doubling = episode.kind == ChatterKind::period_doubling;
  double peak_sum = 0;
  double lobe_sum = 0;
  double strongest = 0;
  std::size_t strongest_bin = 0;
  double strongest_hz = 0;
  each_place(offset_hz_, tooth_hz_, doubling, last_hz, [&](int order, int sign, double hz) {
    // A cure puts a tooth multiple where the chatter was: what sounds there now is the teeth.
    if (row.comb.on_tooth(hz, row.bin_hz)) return;
    const double within = 0.8 * row.bin_hz + row.comb.relative_uncertainty * hz;
    const std::size_t bin = row.highest_bin(hz, std::min(within, 0.2 * tooth_hz_));
    const double p = static_cast<double>(row.power[bin]);
    // The skirt of a tooth line is no line.
    if (bin + 1 < row.power.size() && std::max(row.power[bin - 1], row.power[bin + 1]) > row.power[bin]) return;
    // Nor is the tooth line itself, where it stands within reach of a place beside it.
    if (bin > 0 && bin + 1 < row.power.size() &&
        row.comb.on_tooth(signal::interpolate_hann(static_cast<double>(row.power[bin - 1]), p,
                                                   static_cast<double>(row.power[bin + 1]), bin)
                                  .bin *
                              row.bin_hz,
                          row.bin_hz))
      return;
    if (p < settings_.gone_above_background * static_cast<double>(row.background[bin])) return;
    peak_sum += p;
    for (int d = -kLobeBins; d <= kLobeBins; ++d) {
      const auto k = static_cast<std::ptrdiff_t>(bin) + d;
      if (k >= 0 && k < static_cast<std::ptrdiff_t>(row.power.size()))
        lobe_sum += static_cast<double>(row.power[static_cast<std::size_t>(k)]);
    }
    auto& member = members_[{order, sign}];
    member.power_sum += p;
    member.place_hz = hz;
    if (p > strongest) {
      strongest = p;
      strongest_bin = bin;
      strongest_hz = hz;
    }
  });

  peak_power_ = std::max(peak_power_, peak_sum);
  const double gone_ratio = signal::power_from_db(-settings_.gone_below_peak_db);
  alive_ = strongest > 0 && peak_sum > gone_ratio * peak_power_ && !(came_over_ && is_runout(row, strongest_hz, strongest));
  if (alive_) {
    last_alive_s_ = row.t_s;
    const auto exact = signal::interpolate_hann(static_cast<double>(row.power[strongest_bin - 1]), strongest,
                                                static_cast<double>(row.power[strongest_bin + 1]), strongest_bin);
    strongest_power_ = exact.power;
    episode.peak_dbfs = std::max(episode.peak_dbfs, signal::power_db(exact.power));
    const double off = exact.bin * row.bin_hz - strongest_hz;
    const double rest = std::fmod(strongest_hz, tooth_hz_);
    const double sign = rest < 0.5 * tooth_hz_ ? 1.0 : -1.0;
    if (!doubling) offset_hz_ = std::clamp(offset_hz_ + 0.3 * sign * off, 0.0, 0.5 * tooth_hz_);

    double total = 0;
    for (std::size_t k = row.bin(kShareFromHz); k < row.power.size(); ++k)
      total += std::max(0.0, static_cast<double>(row.power[k] - row.room[k]));
    share_family_ += std::min(lobe_sum, total);
    share_total_ += total;
    share_now_ = total > 0 ? std::min(1.0, lobe_sum / total) : 0.0;
    episode.chatter_share = share_total_ > 0 ? share_family_ / share_total_ : 0.0;
    const double db = signal::power_db(peak_sum);
    growth_db_s_ += kSmooth * ((db - last_db_) / row.row_s - growth_db_s_);
    last_db_ = db;
    update_frequency();
  }
  episode.end_s = alive_ ? row.t_s : episode.end_s;
  if (row.t_s - last_alive_s_ < settings_.gone_s) return false;
  open_ = false;
  episode.open = false;
  episode.end_s = std::max(episode.alert_s, last_alive_s_ - 0.4 * row.frame_s);
  return true;
}

void EpisodeBook::sharpen(std::span<const signal::Line> lines, double long_bin_hz, const Comb& comb) {
  if (!open_) return;
  for (auto& [key, member] : members_) {
    const double within = 1.5 * long_bin_hz + comb.relative_uncertainty * member.place_hz;
    const signal::Line* nearest = nullptr;
    for (const auto& line : lines)
      if (std::abs(line.hz - member.place_hz) < within &&
          (nearest == nullptr || std::abs(line.hz - member.place_hz) < std::abs(nearest->hz - member.place_hz)))
        nearest = &line;
    if (nearest == nullptr) continue;
    // The tone moves while it grows: the last second and a half counts most.
    member.hz_sum = kFrequencyKeep * member.hz_sum + nearest->power * nearest->hz;
    member.hz_weight = kFrequencyKeep * member.hz_weight + nearest->power;
  }
  half_within_hz_ = 0.4 * long_bin_hz + comb.relative_uncertainty * episodes_.back().chatter_hz;
  update_frequency();
}

void EpisodeBook::update_frequency() {
  const Member* strongest = nullptr;
  for (const auto& [key, member] : members_)
    if (strongest == nullptr || member.power_sum > strongest->power_sum) strongest = &member;
  if (strongest == nullptr) return;
  auto& episode = episodes_.back();
  const bool exact = strongest->hz_weight > 0;
  const double hz = exact ? strongest->hz_sum / strongest->hz_weight : strongest->place_hz;
  // Smeared while the speed changes: only what the long window has measured since counts then. What stands on the places once the
  // chatter is gone, while the spindle takes its speed up again, is no tone of it.
  if (alive_ && strongest->power_sum >= gate_now_ && (exact || earlier_power_sum_ == 0)) chatter_hz_now_ = hz;
  if (strongest->power_sum < earlier_power_sum_) return;
  episode.chatter_hz = hz;
  if (!exact) return;
  // With the long window the place in the tooth spacing is known well enough to tell half of it from close to half.
  const double rest = std::fmod(episode.chatter_hz, tooth_hz_);
  const double off_half_hz = std::abs(rest - 0.5 * tooth_hz_);
  episode.kind = off_half_hz < half_within_hz_ ? ChatterKind::period_doubling : ChatterKind::hopf;
}

void EpisodeBook::move_to(const Track& track) noexcept {
  offset_hz_ = track.offset_hz;
  set_members_aside();
}

void EpisodeBook::set_members_aside() noexcept {
  for (const auto& [key, member] : members_) earlier_power_sum_ = std::max(earlier_power_sum_, member.power_sum);
  gate_now_ = std::max(gate_now_, earlier_power_sum_);
  members_.clear();
}

void EpisodeBook::finish(double t_s) {
  if (open_) episodes_.back().end_s = t_s;
}

}  // namespace hushmill::listen
