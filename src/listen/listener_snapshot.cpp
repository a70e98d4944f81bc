// What the screen may know: peaks with their roles, levels, verdict and confidence.
#include "listen/listener_parts.hpp"

namespace hushmill::listen {

namespace {
constexpr std::size_t kMostPeaks = 48;
constexpr double kTornConfidence = 0.3;  // where sound is missing the verdict is the last one, not a new one
}

PeakRole Listener::Parts::role_of(const signal::Line& line, const Comb& now, int& order) const noexcept {
  const double bin_hz = analysis->longer.bin_hz();
  if (now.on_tooth(line.hz, bin_hz)) {
    order = static_cast<int>(std::lround(line.hz / now.tooth_hz()));
    return PeakRole::tooth;
  }
  if (episodes.is_open() &&
      std::abs(now.folded_hz(line.hz) - episodes.offset_hz()) < 1.5 * analysis->middle.bin_hz() * 0.7 + now.relative_uncertainty * line.hz) {
    order = static_cast<int>(std::lround((line.hz - episodes.chatter_hz_now()) / now.tooth_hz()));
    return PeakRole::chatter;
  }
  if (now.tolerance_hz(line.hz, bin_hz) < 0.3 * now.rotation_hz && now.on_rotation(line.hz, bin_hz)) {
    order = static_cast<int>(std::lround(line.hz / now.rotation_hz));
    return PeakRole::rotation;
  }
  if (foreign.sounding(line.hz, 2 * bin_hz)) return PeakRole::foreign;
  return gate.in_cut() ? PeakRole::unexplained : PeakRole::room;
}

void Listener::Parts::fill_peaks() {
  const Comb now = comb();
  snapshot.peaks.clear();
  for (const auto& line : long_lines) {
    if (snapshot.peaks.size() >= kMostPeaks) break;
    Peak peak;
    peak.hz = line.hz;
    peak.dbfs = signal::power_db(line.power);
    peak.above_floor_db = 10.0 * std::log10(line.over);
    peak.role = role_of(line, now, peak.order);
    snapshot.peaks.push_back(peak);
  }
}

void Listener::Parts::fill_snapshot(const Row& row) {
  auto& a = *analysis;
  snapshot.sample = sample;
  snapshot.t_s = row.t_s;
  snapshot.level_dbfs = level.take_level_dbfs();
  snapshot.peak_dbfs = level.take_peak_dbfs();
  snapshot.clipped_samples = level.clipped_samples();
  snapshot.bad_samples = level.bad_samples();
  snapshot.entered_rpm = settings.spindle_rpm;
  snapshot.flutes = settings.flutes;
  snapshot.tooth_passing_hz = speed.tooth_hz();
  snapshot.measured_rpm = speed.measured() ? std::optional(speed.spindle_rpm()) : std::nullopt;
  snapshot.rpm_uncertainty =
      speed.measured() ? std::optional(speed.relative_uncertainty() * speed.spindle_rpm()) : std::nullopt;
  snapshot.room_known = a.room.known();
  const auto power = a.middle.power();
  // Some 30 pictures a second are enough for the eye; the logarithms cost as much as the transform.
  if (hop % 3 == 0)
    for (std::size_t k = 0; k < power.size(); ++k) snapshot.spectrum_dbfs[k] = signal::power_db(power[k]);
  if (a.room.known() && (!gate.in_cut() || snapshot.room_dbfs.size() != power.size())) {
    snapshot.room_dbfs.resize(power.size());
    for (std::size_t k = 0; k < power.size(); ++k) snapshot.room_dbfs[k] = signal::power_db(a.room.power()[k]);
  }

  const Track* best = a.tracker.best();
  Verdict verdict = Verdict::no_cut;
  double confidence = 0.5;
  snapshot.chatter.reset();
  if (episodes.is_open()) {
    verdict = Verdict::chatter;
    const auto& episode = episodes.episodes().back();
    confidence = episode.confidence;
    snapshot.chatter = ChatterNow{episodes.chatter_hz_now(), signal::power_db(episodes.strongest_power()), episodes.share_now(),
                                  episodes.growth_db_s(), episode.start_s, episode.alert_s, episode.kind};
  } else if (gate.in_cut() && best != nullptr && best->nats >= a.tracker.settings().doubt_nats) {
    verdict = Verdict::building;
    confidence = best->nats / a.tracker.settings().alarm_nats;
    snapshot.chatter = ChatterNow{best->strongest_hz, signal::power_db(best->strongest_power), best->share,
                                  best->growth_db_s, best->start_s, std::nullopt,
                                  best->period_doubling ? ChatterKind::period_doubling : ChatterKind::hopf};
  } else if (gate.in_cut() && forced.forced()) {
    verdict = Verdict::forced_vibration;
    confidence = std::clamp(0.5 + (forced.above_trend_db() - 12.0) / 24.0, 0.5, 0.95);
  } else if (gate.in_cut()) {
    verdict = Verdict::steady;
    confidence = (speed.measured() ? 0.9 : 0.6) * (1.0 - 0.5 * (best ? best->nats / a.tracker.settings().alarm_nats : 0.0));
  } else {
    confidence = a.room.known() ? 0.9 : 0.6;
  }
  if (torn(a.middle) && verdict != Verdict::chatter) confidence = std::min(confidence, kTornConfidence);
  if (verdict != snapshot.verdict) snapshot.since_s = row.t_s;
  snapshot.verdict = verdict;
  snapshot.confidence = std::clamp(confidence, 0.0, 1.0);
}

}  // namespace hushmill::listen
