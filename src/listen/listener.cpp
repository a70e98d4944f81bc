#include "listen/listener.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <stdexcept>
#include <string>

#include "listen/background.hpp"
#include "listen/cut_gate.hpp"
#include "listen/episode_book.hpp"
#include "listen/family.hpp"
#include "listen/forced_watch.hpp"
#include "listen/foreign_watch.hpp"
#include "listen/frames.hpp"
#include "listen/level_meter.hpp"
#include "listen/room.hpp"
#include "listen/speed_fit.hpp"
#include "listen/tracker.hpp"
#include "signal/decibel.hpp"
#include "signal/lines.hpp"
#include "signal/spectrum.hpp"

namespace hushmill::listen {

namespace {

// Frames follow the spindle in steps, so that a small change of speed leaves them alone. At 6000 rev/min and above the
// middle frame is 75 ms, the long one 230 ms; at half the speed twice that.
constexpr std::array<double, 7> kFrameScales{1.0, 1.5, 2.0, 3.0, 4.0, 6.0, 8.0};
constexpr double kMiddleFrameS = 0.075;
constexpr double kLongFrameS = 0.23;
constexpr double kLongestFrameS = kLongFrameS * kFrameScales.back() * 1.1;
constexpr std::size_t kLongEveryHops = 4;

constexpr double kNewLineRatio = 6.3;     // 8 dB over the background
constexpr double kLongLineRatio = 6.3;
constexpr double kFirstHz = 60;
constexpr double kHighestHz = 9500;
constexpr float kRoomMargin = 2.0F;       // room tones wander a little
constexpr double kShareFromHz = 50;
constexpr double kRunoutKnownAfterS = 1.0;
constexpr double kRotationRiseDb = 11.0;
constexpr int kLeastAlarmRows = 5;     // half a frame: a knock has come and begun to fade by then
constexpr double kFallingDbS = -40;
constexpr double kLouderRatio = 2.0;
constexpr double kAwaitCombS = 1.5;
constexpr std::size_t kMostPeaks = 48;

double frame_scale(double spindle_rpm) noexcept {
  const double wanted = 0.9 * 6000.0 / spindle_rpm;
  for (const double scale : kFrameScales)
    if (scale >= wanted) return scale;
  return kFrameScales.back();
}

void check(const char* field, double value, double low, double high) {
  if (!(value >= low && value <= high))
    throw std::invalid_argument(std::string(field) + " is " + std::to_string(value) + "; " + std::to_string(low) + " to " +
                                std::to_string(high) + " would be right");
}

// The frames whose length follows the spindle, and what is remembered bin by bin.
struct Analysis {
  Analysis(double scale_, double rate_hz, double hop_s, std::size_t hop_samples)
      : scale(scale_),
        middle(signal::fft_size_at_least(static_cast<std::size_t>(kMiddleFrameS * scale_ * rate_hz)), rate_hz),
        longer(signal::fft_size_at_least(static_cast<std::size_t>(kLongFrameS * scale_ * rate_hz)), rate_hz),
        background(middle.size_bins(), hop_s),
        long_background(longer.size_bins(), hop_s * kLongEveryHops),
        room(middle.size_bins(), hop_s),
        long_room(longer.size_bins(), hop_s * kLongEveryHops),
        reference(middle.size_bins(), 0.0F),
        long_reference(longer.size_bins(), 0.0F),
        held(middle.size_bins(), 0),
        long_held(longer.size_bins(), 0),
        tracker({}, hop_s, std::min(1.0, static_cast<double>(hop_samples) / static_cast<double>(middle.size_samples()))) {}

  double scale;
  signal::Spectrum middle;
  signal::Spectrum longer;
  Background background;
  Background long_background;
  Room room;
  Room long_room;
  std::vector<float> reference;       // largest of floor, history and room
  std::vector<float> long_reference;  // larger of floor and room: the speed's lines are not new, but must count
  std::vector<std::uint8_t> held;
  std::vector<std::uint8_t> long_held;
  Tracker tracker;
};

}  // namespace

struct Listener::Parts {
  explicit Parts(const ListenerSettings& settings_)
      : settings(settings_),
        frames(settings_.sample_rate_hz, kLongestFrameS),
        analysis(std::in_place, frame_scale(settings_.spindle_rpm), frames.working_rate_hz(), frames.hop_s(),
                 frames.hop_samples()),
        foreign(frames.hop_s() * kLongEveryHops, kLongFrameS * analysis->scale),
        episodes(EpisodeSettings{}) {
    speed.expect(settings.spindle_rpm, settings.flutes);
    lines.reserve(128);
    long_lines.reserve(128);
    findings.stretches.push_back({0.0, 0.0, settings.spindle_rpm, std::nullopt, std::nullopt});
    fill_snapshot_frame();
  }

  // The way of the sound, in order.
  ListenerSettings settings;
  LevelMeter level;
  Frames frames;
  std::optional<Analysis> analysis;
  SpeedFit speed;
  CutGate gate;
  ForcedWatch forced;
  ForeignWatch foreign;
  EpisodeBook episodes;

  std::int64_t sample = 0;
  std::uint64_t hop = 0;
  std::vector<signal::Line> lines;
  std::vector<signal::Line> long_lines;
  std::vector<NewLine> new_lines;
  std::vector<FamilyVote> votes;
  std::vector<Event> events;
  Findings findings;
  Snapshot snapshot;
  double cut_heard_since_s = 0;
  bool was_forced = false;
  double best_chatter_confidence = 0;

  double now_s() const noexcept { return static_cast<double>(sample) / settings.sample_rate_hz; }
  Comb comb() const noexcept {
    return {speed.rotation_hz(), settings.flutes, speed.relative_uncertainty(), speed.measured()};
  }

  void raise(EventKind kind, int index) { events.push_back({sample, now_s(), kind, index}); }
  void warn(Warning warning) {
    if (std::find(findings.warnings.begin(), findings.warnings.end(), warning) == findings.warnings.end())
      findings.warnings.push_back(warning);
  }

  void fill_snapshot_frame() {
    snapshot.sample_rate_hz = settings.sample_rate_hz;
    snapshot.bin_hz = analysis->middle.bin_hz();
    snapshot.spectrum_dbfs.assign(analysis->middle.size_bins(), -200.0F);
    snapshot.room_dbfs.clear();
  }

  void run_hop();
  void run_long_row();
  void watch_foreign_tones(const Comb& now);
  Row make_row();
  void find_new_lines(const Row& row);
  void hold_bins();
  void judge(const Row& row);
  const Track* loudest_track(double least_nats) const noexcept;
  void follow_cut(const Row& row);
  void fill_snapshot(const Row& row);
  void fill_peaks();
  PeakRole role_of(const signal::Line& line, const Comb& now, int& order) const noexcept;
  void close_stretch();
  void change_speed();
  void finish();
};

Row Listener::Parts::make_row() {
  auto& a = *analysis;
  Row row;
  row.t_s = now_s();
  row.row_s = frames.hop_s();
  row.frame_s = static_cast<double>(a.middle.size_samples()) / frames.working_rate_hz();
  row.bin_hz = a.middle.bin_hz();
  row.noise_bandwidth_bins = a.middle.noise_bandwidth_bins();
  row.power = a.middle.power();
  row.floor = a.background.floor();
  row.background = a.reference;
  row.room = a.room.power();
  row.room_known = a.room.known();
  row.comb = comb();
  double above = 0;
  for (std::size_t k = row.bin(kShareFromHz); k < row.power.size(); ++k)
    above += static_cast<double>(row.power[k]) - static_cast<double>(row.room[k]);
  row.above_room = std::max(0.0, above / row.noise_bandwidth_bins);
  return row;
}

void Listener::Parts::run_hop() {
  auto& a = *analysis;
  ++hop;
  // A frame that is not full yet holds zeros from before the start: nothing can be said of it.
  if (static_cast<double>(hop) * static_cast<double>(frames.hop_samples()) < static_cast<double>(a.middle.size_samples())) {
    snapshot.level_dbfs = level.take_level_dbfs();
    snapshot.sample = sample;
    snapshot.t_s = now_s();
    return;
  }
  a.middle.process(frames.last(a.middle.size_samples()));
  hold_bins();
  a.background.process(a.middle.power(), a.held);
  const auto floor = a.background.floor();
  const auto history = a.background.history();
  const auto room = a.room.power();
  for (std::size_t k = 0; k < a.reference.size(); ++k)
    a.reference[k] = std::max({floor[k], history[k], kRoomMargin * room[k]});

  if (hop % kLongEveryHops == 0) run_long_row();

  const Row row = make_row();
  gate.process(row, episodes.is_open());
  follow_cut(row);
  find_new_lines(row);
  judge(row);
  if (!gate.in_cut()) a.room.process(a.middle.power());
  fill_snapshot(row);
}

void Listener::Parts::run_long_row() {
  auto& a = *analysis;
  if (static_cast<double>(hop) * static_cast<double>(frames.hop_samples()) < static_cast<double>(a.longer.size_samples())) return;
  a.longer.process(frames.last(a.longer.size_samples()));
  a.long_background.process(a.longer.power(), a.long_held);
  const auto floor = a.long_background.floor();
  const auto room = a.long_room.power();
  for (std::size_t k = 0; k < a.long_reference.size(); ++k) a.long_reference[k] = std::max(floor[k], kRoomMargin * room[k]);
  signal::find_lines(a.longer.power(), a.long_reference, a.longer.bin_hz(), {kLongLineRatio, 40, kHighestHz, 96}, long_lines);
  if (!gate.in_cut()) a.long_room.process(a.longer.power());
  speed.process(long_lines, a.longer.bin_hz());
  const Comb now = comb();
  episodes.sharpen(long_lines, a.longer.bin_hz(), now);
  watch_foreign_tones(now);
  fill_peaks();
}

void Listener::Parts::watch_foreign_tones(const Comb& now) {
  auto& a = *analysis;
  // Chatter that has filled the sound brings lines of its own at sums and doubles: nothing is judged foreign meanwhile.
  if (!gate.in_cut() || episodes.is_open()) return foreign.forget_candidates();
  if (!now.measured) return;
  const auto history = a.long_background.history();
  for (auto& line : long_lines) line.over = line.power / std::max(static_cast<double>(std::max(a.long_reference[line.bin], history[line.bin])), 1e-20);
  const double within = 1.3 * a.middle.bin_hz();
  const bool added = foreign.process(long_lines, now, a.longer.bin_hz(), now_s(), [&](double hz) {
    const double folded = now.folded_hz(hz);
    const double reach = within + now.relative_uncertainty * hz;
    if (episodes.is_open() && std::abs(folded - episodes.offset_hz()) < reach) return true;
    const auto tracks = a.tracker.tracks();
    return std::any_of(tracks.begin(), tracks.end(), [&](const Track& track) {
      return track.nats > 0.5 * a.tracker.settings().doubt_nats && std::abs(folded - track.offset_hz) < reach;
    });
  });
  findings.foreign_tones = foreign.tones();
  if (added) raise(EventKind::foreign_tone, static_cast<int>(foreign.tones().size()) - 1);
}

void Listener::Parts::hold_bins() {
  auto& a = *analysis;
  std::fill(a.held.begin(), a.held.end(), std::uint8_t{0});
  const double bin_hz = a.middle.bin_hz();
  const double tooth_hz = speed.tooth_hz();
  const auto hold = [&](double offset_hz) {
    for (int k = 0; k * tooth_hz - offset_hz < kHighestHz; ++k)
      for (const double hz : {k * tooth_hz - offset_hz, k * tooth_hz + offset_hz}) {
        const auto middle = static_cast<std::ptrdiff_t>(std::lround(hz / bin_hz));
        for (std::ptrdiff_t bin = middle - 3; bin <= middle + 3; ++bin)
          if (bin >= 0 && bin < static_cast<std::ptrdiff_t>(a.held.size())) a.held[static_cast<std::size_t>(bin)] = 1;
      }
  };
  if (episodes.is_open()) hold(episodes.offset_hz());
  for (const auto& track : a.tracker.tracks())
    if (track.nats > 0.5 * a.tracker.settings().doubt_nats) hold(track.offset_hz);
}

void Listener::Parts::follow_cut(const Row& row) {
  const bool open = !findings.cuts.empty() && findings.cuts.back().end_s < 0;
  if (gate.in_cut() && !open) {
    findings.cuts.push_back({gate.start_s(), -1.0});
    cut_heard_since_s = row.t_s;
    if (!analysis->room.known()) warn(Warning::no_room);
    raise(EventKind::cut_begins, static_cast<int>(findings.cuts.size()) - 1);
  } else if (!gate.in_cut() && open) {
    findings.cuts.back().end_s = gate.end_s();
    forced.reset();
    raise(EventKind::cut_ends, static_cast<int>(findings.cuts.size()) - 1);
  }
}

void Listener::Parts::find_new_lines(const Row& row) {
  signal::find_lines(row.power, row.background, row.bin_hz, {kNewLineRatio, kFirstHz, kHighestHz, 64}, lines);
  new_lines.clear();
  const Comb& now = row.comb;
  // On a rotation multiple only history tells chatter from runout: the line must rise by more than the teeth did, and only
  // after the runout lines of this cut have become history.
  const bool runout_known = gate.in_cut() && now.measured && row.t_s - cut_heard_since_s > kRunoutKnownAfterS;
  const double least_rise_db = kRotationRiseDb + gate.tooth_rise_db();
  for (const auto& line : lines) {
    if (now.on_tooth(line.hz, row.bin_hz)) continue;
    NewLine fresh{line.hz, line.power, 10.0 * std::log10(line.over), false};
    const double tolerance = now.rotation_tolerance_hz(line.hz, row.bin_hz);
    // Rotation multiples that are not told apart here say nothing.
    if (tolerance < 0.3 * now.rotation_hz && now.off_rotation_hz(line.hz) <= tolerance) {
      if (!runout_known || fresh.over_db < least_rise_db) continue;
      const double orders = line.hz / now.tooth_hz();
      fresh.half_order_only = std::abs(orders - std::floor(orders) - 0.5) * now.tooth_hz() < tolerance;
    }
    new_lines.push_back(fresh);
  }
}

void Listener::Parts::judge(const Row& row) {
  auto& tracker = analysis->tracker;
  weigh_families(new_lines, row.comb, row.bin_hz, {}, votes);
  // Before the comb is fitted, runout lines and a wrongly entered speed look like a family: wait for the fit, but not for ever.
  const bool comb_awaited = !row.comb.measured && (!gate.in_cut() || row.t_s - cut_heard_since_s < kAwaitCombS);
  const double restrain = comb_awaited ? 20.0 : !gate.in_cut() ? 1.0 : gate.fading() ? 2.0 : 0.0;
  tracker.process(votes, row.comb, row.bin_hz, gate.held_tooth_power(), restrain, row.t_s);

  const double alarm = tracker.settings().alarm_nats;
  if (episodes.is_open()) {
    // A louder family than the one that was raised: that was a by-product of it.
    const Track* louder = loudest_track(0.5 * alarm);
    if (episodes.follow(row)) {
      raise(EventKind::chatter_ends, static_cast<int>(episodes.episodes().size()) - 1);
      tracker.reset();
    } else if (louder != nullptr && gate.in_cut() && !gate.fading() && louder->strongest_power > kLouderRatio * episodes.strongest_power()) {
      episodes.move_to(*louder);
    }
  } else if (const Track* best = tracker.best();
             gate.in_cut() && best != nullptr && best->missing_rows == 0 && best->nats >= alarm &&
             best->rows >= kLeastAlarmRows && best->growth_db_s > kFallingDbS) {
    const Track* loudest = loudest_track(0.5 * alarm);
    episodes.open(loudest != nullptr && loudest->strongest_power > kLouderRatio * best->strongest_power ? *loudest : *best, row);
    raise(EventKind::chatter_onset, static_cast<int>(episodes.episodes().size()) - 1);
  }
  findings.episodes = episodes.episodes();

  if (gate.in_cut()) {
    forced.process(row);
    if (forced.forced() && !was_forced) {
      findings.forced_vibration_heard = true;
      raise(EventKind::forced_vibration, forced.order());
    }
    was_forced = forced.forced();
  }
}

const Track* Listener::Parts::loudest_track(double least_nats) const noexcept {
  const Track* loudest = nullptr;
  for (const auto& track : analysis->tracker.tracks())
    if (track.nats >= least_nats && track.missing_rows == 0 && (loudest == nullptr || track.strongest_power > loudest->strongest_power))
      loudest = &track;
  return loudest;
}

PeakRole Listener::Parts::role_of(const signal::Line& line, const Comb& now, int& order) const noexcept {
  const double bin_hz = analysis->longer.bin_hz();
  if (now.on_tooth(line.hz, bin_hz)) {
    order = static_cast<int>(std::lround(line.hz / now.tooth_hz()));
    return PeakRole::tooth;
  }
  if (episodes.is_open() &&
      std::abs(now.folded_hz(line.hz) - episodes.offset_hz()) < 1.5 * analysis->middle.bin_hz() * 0.7 + now.relative_uncertainty * line.hz) {
    order = static_cast<int>(std::lround((line.hz - episodes.episodes().back().chatter_hz) / now.tooth_hz()));
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
    snapshot.chatter = ChatterNow{episode.chatter_hz, signal::power_db(episodes.strongest_power()), episodes.share_now(),
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
  if (verdict != snapshot.verdict) snapshot.since_s = row.t_s;
  snapshot.verdict = verdict;
  snapshot.confidence = std::clamp(confidence, 0.0, 1.0);
}

void Listener::Parts::close_stretch() {
  auto& stretch = findings.stretches.back();
  stretch.to_s = now_s();
  stretch.measured_rpm = speed.mean_rpm();
  stretch.rpm_uncertainty = speed.mean_uncertainty_rpm();
}

void Listener::Parts::change_speed() {
  close_stretch();
  findings.stretches.push_back({now_s(), now_s(), settings.spindle_rpm, std::nullopt, std::nullopt});
  speed.expect(settings.spindle_rpm, settings.flutes);
  episodes.new_speed();
  const double scale = frame_scale(settings.spindle_rpm);
  if (scale != analysis->scale) {
    analysis.emplace(scale, frames.working_rate_hz(), frames.hop_s(), frames.hop_samples());
    fill_snapshot_frame();
  }
}

void Listener::Parts::finish() {
  const double end_s = now_s();
  episodes.finish(end_s);
  findings.episodes = episodes.episodes();
  findings.foreign_tones = foreign.tones();
  if (!findings.cuts.empty() && findings.cuts.back().end_s < 0) findings.cuts.back().end_s = end_s;
  close_stretch();
  if (level.bad_samples() > 0) warn(Warning::bad_samples);
  if (level.clipped_samples() > 0) warn(Warning::clipped);
  const auto& first = findings.stretches.front();
  if (!findings.cuts.empty() && !first.measured_rpm) warn(Warning::speed_not_heard);
  for (const auto& stretch : findings.stretches)
    if (stretch.measured_rpm && std::abs(*stretch.measured_rpm / stretch.entered_rpm - 1.0) > 0.005) warn(Warning::speed_differs);
  if (!findings.episodes.empty()) {
    for (const auto& episode : findings.episodes) findings.confidence = std::max(findings.confidence, episode.confidence);
  } else {
    findings.confidence = snapshot.confidence;
  }
}

Listener::Listener(const ListenerSettings& settings) {
  check("sample rate (Hz)", settings.sample_rate_hz, 16000, 192000);
  check("spindle speed (rev/min)", settings.spindle_rpm, 10, 200000);
  check("flutes", settings.flutes, 1, 64);
  parts_ = std::make_unique<Parts>(settings);
}
Listener::~Listener() = default;
Listener::Listener(Listener&&) noexcept = default;
Listener& Listener::operator=(Listener&&) noexcept = default;

void Listener::process(std::span<const float> samples) {
  auto& p = *parts_;
  for (const float raw : samples) {
    const float x = p.level.process(raw);
    ++p.sample;
    if (p.frames.push(x)) p.run_hop();
  }
}

void Listener::set_spindle_rpm(double spindle_rpm) {
  check("spindle speed (rev/min)", spindle_rpm, 10, 200000);
  if (spindle_rpm == parts_->settings.spindle_rpm) return;
  parts_->settings.spindle_rpm = spindle_rpm;
  parts_->change_speed();
}

void Listener::set_flutes(int flutes) {
  check("flutes", flutes, 1, 64);
  if (flutes == parts_->settings.flutes) return;
  parts_->settings.flutes = flutes;
  parts_->change_speed();
}

void Listener::finish() { parts_->finish(); }

std::vector<Event> Listener::take_events() {
  std::vector<Event> taken;
  taken.swap(parts_->events);
  return taken;
}

const Snapshot& Listener::snapshot() const noexcept { return parts_->snapshot; }
const Findings& Listener::findings() const noexcept { return parts_->findings; }

}  // namespace hushmill::listen
