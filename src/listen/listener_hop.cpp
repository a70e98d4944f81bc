// One hop of the listener: spectra, background, comb, new lines, votes, episodes.
#include "listen/listener_parts.hpp"
#include "signal/tone.hpp"

namespace hushmill::listen {

namespace {
constexpr double kNewLineRatio = 6.3;  // 8 dB over the background
constexpr double kLoneRatio = 0.03;    // 15 dB
constexpr double kLongLineRatio = 6.3;
constexpr double kFirstHz = 60;
constexpr float kRoomMargin = 2.0F;  // room tones wander a little
constexpr double kRunoutKnownAfterS = 1.0;
constexpr double kRotationRiseDb = 11.0;
constexpr int kLeastAlarmRows = 5;     // half a frame: a knock has come and begun to fade by then
constexpr double kAbruptFrames = 1.3;  // by then a knock fades
constexpr double kStillRisesDb = 2;    // within two rows
constexpr double kOnsetShare = 0.2;    // of the teeth's power: where chatter counts as begun …
constexpr int kFaintMembers = 6;       // … unless so large a family, none of it one tone's harmonics, …
constexpr double kFaintS = 0.5;        // … stays in the cut for so long
constexpr double kFadingDbS = -10;
constexpr double kNearlyAll = 0.9;  // of what is new
constexpr int kLeastLongRows = 3;
constexpr double kFallingDbS = -40;
constexpr double kLouderRatio = 2.0;
constexpr double kSagS = 2.0;
constexpr std::size_t kSeldom = 4;
constexpr double kAwaitCombS = 1.5;
constexpr double kNoAlarm = 20;  // nats a row: more than any row brings
constexpr double kUntrusted = 2.0;
constexpr double kMostOfPlace = 4.0;     // nats: the long window places a line three times finer
constexpr double kStillSounds = 0.4;     // of the power that the long window still holds
constexpr double kEnteredUncertainty = 0.0005;
constexpr double kSmearedFrames = 1.3;
constexpr double kMetMidwayS = 0.8;
constexpr double kSuspectNats = 0.5;  // a family that may be chatter must not drag the comb along

// A knock that has faded still stands in the long window.
bool still_sounds(const Track& track, const Row& row) noexcept {
  return static_cast<double>(row.power[row.highest_bin(track.strongest_hz, row.bin_hz)]) > kStillSounds * track.strongest_power;
}

// Not a knock: what came up as quickly as the frame lets anything must still rise while the frame fills, for a knock falls as soon as
// it has passed the frame's middle; and with more that is new beside it, it must stay once the frame holds nothing else.
bool lasts(const Track& track, const Row& row) noexcept {
  const bool filling = track.rows * row.row_s < kAbruptFrames * row.frame_s;
  if (track.abrupt && filling && track.rise_db < kStillRisesDb) return false;
  if (!track.abrupt || track.share > kNearlyAll) return track.growth_db_s > kFallingDbS;
  return !filling && track.growth_db_s > kFadingDbS;
}
// Lines of a cut that is just beginning, and faint ones that the long window resolves, may look like a family: one that has not reached
// onset is watched, not raised. But in a heavy cut chatter may stay below the teeth for good.
bool reached_onset(const Track& track, const CutGate& gate, double in_cut_s) noexcept {
  const bool stays = track.most_own_members >= kFaintMembers && in_cut_s > kFaintS;
  return stays || track.power >= kOnsetShare * track.teeth_beside(gate.held_tooth_power());
}
}  // namespace

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
  float above = 0;
  for (std::size_t k = row.bin(kShareFromHz); k < row.power.size(); ++k) above += row.power[k] - row.room[k];
  row.above_room = std::max(0.0, static_cast<double>(above) / row.noise_bandwidth_bins);
  return row;
}

void Listener::Parts::run_hop() {
  auto& a = *analysis;
  ++hop;
  // A frame that is not full yet holds zeros from before the start: nothing can be said of it.
  if (static_cast<double>(hop) * static_cast<double>(frames.hop_samples()) <
      static_cast<double>(a.middle.size_samples())) {
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

  Row row = make_row();
  if (gate.in_cut()) {
    if (const auto factor = ramp.process(row, episodes.is_open() || loudest_track(kSuspectNats) != nullptr)) {
      speed.follow(*factor);
      comb_moved_s = now_s();
      row.comb = comb();
    }
  }
  gate.process(row, episodes.is_open());
  follow_cut(row);
  signal::find_lines(row.power, row.background, row.bin_hz, {kNewLineRatio, kFirstHz, kHighestHz, 64}, lines);
  find_new_lines(lines, row.bin_hz, row.comb);
  judge(row);
  if (!gate.in_cut() && row.t_s >= room_waits_until_s) a.room.process(a.middle.power());
  fill_snapshot(row);
}

void Listener::Parts::run_long_row() {
  auto& a = *analysis;
  if (static_cast<double>(hop) * static_cast<double>(frames.hop_samples()) <
      static_cast<double>(a.longer.size_samples()))
    return;
  a.longer.process(frames.last(a.longer.size_samples()));
  a.long_background.process(a.longer.power(), a.long_held);
  const auto floor = a.long_background.floor();
  const auto room = a.long_room.power();
  for (std::size_t k = 0; k < a.long_reference.size(); ++k)
    a.long_reference[k] = std::max(floor[k], kRoomMargin * room[k]);
  signal::find_lines(a.longer.power(), a.long_reference, a.longer.bin_hz(), {kLongLineRatio, 40, kHighestHz, 96},
                     long_lines);
  watch_start();
  if (!gate.in_cut() && now_s() >= room_waits_until_s) a.long_room.process(a.longer.power());
  watch_lattice();
  refine_lone_line();
  // A spindle sags when chatter begins; later it is enough to look now and then.
  const bool look = episodes.is_open() &&
                    (now_s() - episodes.episodes().back().alert_s < kSagS || hop % (kSeldom * kLongEveryHops) == 0);
  if (look && speed.measured()) {
    const auto factor = spacing.process(long_lines, a.longer.bin_hz(), episodes.chatter_hz_now(), comb());
    if (factor) speed.follow(*factor);
  }
  gather_comb_lines();
  speed.process(comb_lines, a.longer.bin_hz(), episodes.is_open());
  arrive_at_entered_speed();
  doubt_entered_speed();
  const Comb now = comb();
  episodes.sharpen(long_lines, a.longer.bin_hz(), now);
  watch_standing();
  suspect_long_families();
  watch_foreign_tones(now);
  fill_peaks();
}

// Listening began in a cut that chatters: what was learned as the room is dropped, and that cut is heard as any other.
void Listener::Parts::watch_start() {
  if (start.over() || gate.in_cut()) return;
  auto& a = *analysis;
  signal::find_lines(a.longer.power(), a.long_background.floor(), a.longer.bin_hz(), {kLongLineRatio, 40, kHighestHz, 96}, start_lines);
  if (!start.process(start_lines, a.longer.bin_hz(), now_s())) return;
  speed = start.speed();
  a.room = Room(a.middle.size_bins(), frames.hop_s());
  a.long_room = Room(a.longer.size_bins(), frames.hop_s() * kLongEveryHops);
  a.background.forget();
  a.long_background.forget();
  a.forget_suspects();
  room_waits_until_s = now_s() + kMetMidwayS;
  warn(Warning::no_room);
}

// Chatter came while the comb was not where the teeth are: the comb is put where chatter says it is, and what was learned meanwhile is
// dropped.
void Listener::Parts::watch_lattice() {
  if (!gate.in_cut()) return watch_unheard_cut();
  if (gate.fading() || follow_until_s >= 0) return lattice.forget();
  if (episodes.is_open() && hop % (kSeldom * kLongEveryHops) != 0) return;
  const auto factor = lattice.process(long_lines, analysis->longer.bin_hz(), comb(), kLatticeInCut);
  if (episodes.is_open()) {
    if (lattice.explained() > 0) doubt.vouch();  // a comb of chatter's own harmonics fits, too, where the teeth are drowned
    return;
  }
  if (factor) believe_lattice(factor);
}

// The teeth are drowned by the shop, but not the chatter: its lines stand tooth spacings apart, and that only a cut does.
void Listener::Parts::watch_unheard_cut() {
  if (!analysis->long_room.known()) return lattice.forget();
  const auto factor = lattice.process(long_lines, analysis->longer.bin_hz(), comb(), kLatticeUnheardCut);
  if (!factor && lattice.explained() < kLatticeUnheardCut.looks) return;
  believe_lattice(factor);
  gate.begin_unheard(make_row());
  lattice.forget();
}

void Listener::Parts::believe_lattice(std::optional<double> factor) {
  if (factor) speed.follow(*factor);
  doubt.vouch();
  ramp.reset();
  analysis->background.forget();
  analysis->long_background.forget();
  analysis->forget_suspects();
}

// In a cut that was not found to chatter: what came over from another speed, or came up while nothing could be told, has become the
// background. Then that is dropped, and the family is heard as a new one.
void Listener::Parts::watch_standing() {
  const Comb now = comb();
  const bool smeared = now_s() - comb_moved_s < kSmearedFrames * kLongFrameS * analysis->scale;
  if (!gate.in_cut() || gate.fading() || episodes.is_open() || !now.trusted || smeared || ramp.lost() || torn(analysis->longer)) return standing.forget();
  if (!standing.process(long_lines, now, analysis->longer.bin_hz())) return;
  standing.forget();
  analysis->background.forget();
  analysis->long_background.forget();
}

// The same votes as in the middle window, of the long one.
void Listener::Parts::suspect_long_families() {
  auto& a = *analysis;
  const Comb now = comb();
  const auto history = a.long_background.history();
  for (auto& line : long_lines)
    line.over =
        line.power / std::max(static_cast<double>(std::max(a.long_reference[line.bin], history[line.bin])), 1e-20);
  if (episodes.is_open()) return;  // it has been heard
  find_new_lines(long_lines, a.longer.bin_hz(), now);
  weigh_families(new_lines, now, a.longer.bin_hz(), {.most_of_place = kMostOfPlace}, votes);
  // A long frame that holds a ramp shows smeared teeth, which look like lines beside the teeth.
  const bool smeared = now_s() - comb_moved_s < kSmearedFrames * kLongFrameS * a.scale;
  const double restrain = smeared || torn(a.longer) ? kNoAlarm : restraint();
  a.long_tracker.process(votes, now, a.longer.bin_hz(), teeth(), restrain, now_s());
}

// A line that stands alone, or that sings, is measured from the samples: the spectrum's two bins know it half as well.
void Listener::Parts::refine_lone_line() {
  if (long_lines.empty()) return;
  auto& line = long_lines.front();
  const bool lone = long_lines.size() == 1 || long_lines[1].power < kLoneRatio * line.power;
  if (!lone && !episodes.is_open()) return;
  const double bin_hz = analysis->longer.bin_hz();
  line.hz = signal::refine_tone_hz(frames.last(analysis->longer.size_samples()), frames.working_rate_hz(), line.hz,
                                   0.3 * bin_hz);
}

// Strong chatter would drag the comb along with it: what may be its lines, and those of twice the tone, are not the
// teeth's. But its members stand whole tooth spacings from its strongest line, and their distances tell the speed as
// well as the teeth do.
void Listener::Parts::gather_comb_lines() {
  comb_lines.clear();
  const Comb now = comb();
  const double bin_hz = analysis->longer.bin_hz();
  const Track* suspect = now.trusted ? loudest_track(kSuspectNats) : nullptr;
  const bool singing = episodes.is_open();
  const double offset_hz = singing ? episodes.offset_hz() : suspect != nullptr ? suspect->offset_hz : 0;
  const double twice = now.folded_hz(2 * offset_hz);
  const signal::Line* strongest = nullptr;
  for (const auto& line : long_lines) {
    const double reach = bin_hz + now.relative_uncertainty * line.hz;
    if (offset_hz <= 0 || now.on_tooth(line.hz, bin_hz)) {
      comb_lines.push_back(line);
      continue;
    }
    const double folded = now.folded_hz(line.hz);
    const bool member = std::abs(folded - offset_hz) < reach;
    if (!member && std::abs(folded - twice) >= 0.5 * reach) comb_lines.push_back(line);
    if (!member || !singing) continue;
    if (strongest == nullptr) {  // lines come strongest first
      strongest = &line;
      continue;
    }
    const double below = std::abs(line.hz - strongest->hz);
    const double above = line.hz + strongest->hz;
    signal::Line distance = line;
    distance.hz = now.off_tooth_hz(below) < now.off_tooth_hz(above) ? below : above;
    if (distance.hz > 0.5 * now.tooth_hz()) comb_lines.push_back(distance);
  }
}

void Listener::Parts::doubt_entered_speed() {
  if (follow_until_s >= 0) return;
  const bool sings = episodes.is_open() || loudest_track(analysis->tracker.settings().doubt_nats) != nullptr;
  if (!doubt.process(long_lines, analysis->longer.bin_hz(), comb(), sings)) return;
  findings.other_fit = doubt.other();
  // Heard with the comb that fits, so that a wrongly entered speed neither hides chatter nor makes it up. Never
  // silently.
  const OtherFit fit = findings.other_fit.value_or(OtherFit{settings.spindle_rpm, settings.flutes});
  speed.expect(fit.spindle_rpm, fit.flutes);
  ramp.reset();
  comb_moved_s = now_s();
  analysis->forget_suspects();
  if (!findings.other_fit) return;
  if (!gate.in_cut()) {  // the cut went by as the room's sound
    analysis->room.step_back();
    analysis->long_room.step_back();
  }
  warn(Warning::other_speed_fits);
  raise(EventKind::other_speed_fits, static_cast<int>(findings.stretches.size()) - 1);
}

void Listener::Parts::watch_foreign_tones(const Comb& now) {
  auto& a = *analysis;
  // Chatter that has filled the sound brings lines of its own at sums and doubles: nothing is judged foreign meanwhile.
  if (!gate.in_cut() || episodes.is_open()) return foreign.forget_candidates();
  if (!now.measured) return;
  const double within = 1.3 * a.middle.bin_hz();
  // Chatter drags the measured comb: a multiple of the teeth at the entered speed is no stranger either.
  const Comb entered{settings.spindle_rpm / 60, settings.flutes, kEnteredUncertainty, true, true};
  const bool added =
      foreign.process(long_lines, now, a.longer.bin_hz(), now_s(), gate.held_tooth_power(), [&](double hz) {
        if (entered.on_tooth(hz, a.longer.bin_hz())) return true;
        const double folded = now.folded_hz(hz);
        const double reach = within + now.relative_uncertainty * hz;
        if (episodes.is_open() && std::abs(folded - episodes.offset_hz()) < reach) return true;
        const auto suspected = [&](const Track& track) {
          return track.nats > 0.5 * a.tracker.settings().doubt_nats && std::abs(folded - track.offset_hz) < reach;
        };
        return std::ranges::any_of(a.tracker.tracks(), suspected) ||
               std::ranges::any_of(a.long_tracker.tracks(), suspected);
      });
  findings.foreign_tones = foreign.tones();
  if (added && foreign.tones().back().may_be_chatter) warn(Warning::unexplained_tone);
  if (added) raise(EventKind::foreign_tone, static_cast<int>(foreign.tones().size()) - 1);
}

void Listener::Parts::hold_bins() {
  auto& a = *analysis;
  const double tooth_hz = speed.tooth_hz();
  const auto hold = [&](std::vector<std::uint8_t>& held, double bin_hz, double offset_hz) {
    for (int k = 0; k * tooth_hz - offset_hz < kHighestHz; ++k)
      for (const double hz : {k * tooth_hz - offset_hz, k * tooth_hz + offset_hz}) {
        const auto middle = static_cast<std::ptrdiff_t>(std::lround(hz / bin_hz));
        for (std::ptrdiff_t bin = middle - 3; bin <= middle + 3; ++bin)
          if (bin >= 0 && bin < static_cast<std::ptrdiff_t>(held.size())) held[static_cast<std::size_t>(bin)] = 1;
      }
  };
  const auto hold_all = [&](std::vector<std::uint8_t>& held, double bin_hz) {
    std::fill(held.begin(), held.end(), std::uint8_t{0});
    if (episodes.is_open()) hold(held, bin_hz, episodes.offset_hz());
    for (const Tracker* tracker : {&a.tracker, &a.long_tracker})
      for (const auto& track : tracker->tracks())
        if (track.nats > 0.5 * tracker->settings().doubt_nats) hold(held, bin_hz, track.offset_hz);
  };
  hold_all(a.held, a.middle.bin_hz());
  if (hop % kLongEveryHops == 0) hold_all(a.long_held, a.longer.bin_hz());
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

void Listener::Parts::find_new_lines(std::span<const signal::Line> from, double bin_hz, const Comb& now) {
  new_lines.clear();
  // On a rotation multiple only history tells chatter from runout: the line must rise by more than the teeth did, and
  // only after the runout lines of this cut, at this speed, have become history.
  const double since_s = std::max(cut_heard_since_s, comb_moved_s);
  const bool runout_known = gate.in_cut() && now.measured && now_s() - since_s > kRunoutKnownAfterS;
  const double least_rise_db = kRotationRiseDb + gate.tooth_rise_db();
  for (const auto& line : from) {
    if (line.over < kNewLineRatio || line.hz < kFirstHz) continue;
    if (now.on_tooth(line.hz, bin_hz)) continue;
    NewLine fresh{line.hz, line.power, 10.0 * std::log10(line.over), false};
    const double tolerance = now.rotation_tolerance_hz(line.hz, bin_hz);
    // Rotation multiples that are not told apart here say nothing.
    if (tolerance < 0.3 * now.rotation_hz && now.off_rotation_hz(line.hz) <= tolerance) {
      if (!runout_known || fresh.over_db < least_rise_db) continue;
      const double orders = line.hz / now.tooth_hz();
      fresh.half_order_only = std::abs(orders - std::floor(orders) - 0.5) * now.tooth_hz() < tolerance;
    }
    new_lines.push_back(fresh);
  }
}

// Nats that every row's evidence must overcome for reasons that lie outside the row.
double Listener::Parts::restraint() const noexcept {
  // Before the comb is fitted, runout lines and a wrongly entered speed look like a family: wait for the fit, but not
  // for ever.
  const bool comb_awaited = !speed.measured() && (!gate.in_cut() || now_s() - cut_heard_since_s < kAwaitCombS);
  if (comb_awaited || doubt.suspicious() || ramp.lost() || torn(analysis->middle)) return kNoAlarm;
  // A frame that holds a ramp shows smeared teeth, which look like lines beside the teeth.
  if (now_s() - comb_moved_s < kSmearedFrames * kMiddleFrameS * analysis->scale) return kNoAlarm;
  if (!gate.in_cut()) return 1.0;
  return (gate.fading() ? 2.0 : 0.0) + (comb().trusted ? 0.0 : kUntrusted);
}

// Only the last episode changes: a long session has thousands.
void Listener::Parts::take_episodes() {
  const auto& all = episodes.episodes();
  for (std::size_t i = findings.episodes.empty() ? 0 : findings.episodes.size() - 1; i < all.size(); ++i) {
    if (i < findings.episodes.size())
      findings.episodes[i] = all[i];
    else
      findings.episodes.push_back(all[i]);
  }
}

void Listener::Parts::judge(const Row& row) {
  auto& tracker = analysis->tracker;
  weigh_families(new_lines, row.comb, row.bin_hz, {}, votes);
  tracker.process(votes, row.comb, row.bin_hz, teeth(), restraint(), row.t_s);

  const double alarm = tracker.settings().alarm_nats;
  if (episodes.is_open()) {
    // A louder family than the one that was raised: that was a by-product of it.
    const Track* louder = loudest_track(0.5 * alarm);
    const bool closed = episodes.follow(row);
    findings.stretches.back().chatter_hz = episodes.chatter_hz_now();
    if (closed) {
      raise(EventKind::chatter_ends, static_cast<int>(episodes.episodes().size()) - 1);
      analysis->forget_suspects();
    } else if (louder != nullptr && gate.in_cut() && !gate.fading() &&
               louder->strongest_power > kLouderRatio * episodes.strongest_power()) {
      episodes.move_to(*louder);
    }
  } else if (const Track* best = tracker.best(); gate.in_cut() && best != nullptr && best->missing_rows == 0 &&
                                                 best->nats >= alarm && best->rows >= kLeastAlarmRows &&
                                                 lasts(*best, row) &&
                                                 reached_onset(*best, gate, row.t_s - std::max(best->start_s, cut_heard_since_s))) {
    const Track* loudest = loudest_track(0.5 * alarm);
    episodes.open(
        loudest != nullptr && loudest->strongest_power > kLouderRatio * best->strongest_power ? *loudest : *best, row);
    raise(EventKind::chatter_onset, static_cast<int>(episodes.episodes().size()) - 1);
  } else if (const Track* slow = analysis->long_tracker.best();
             gate.in_cut() && slow != nullptr && slow->missing_rows == 0 && slow->nats >= alarm &&
             slow->rows >= kLeastLongRows && slow->growth_db_s > kFallingDbS && still_sounds(*slow, row) &&
             reached_onset(*slow, gate, row.t_s - std::max(slow->start_s, cut_heard_since_s))) {
    episodes.open(*slow, row);
    raise(EventKind::chatter_onset, static_cast<int>(episodes.episodes().size()) - 1);
  }
  take_episodes();

  if (gate.in_cut() && !episodes.is_open()) {
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
    if (track.nats >= least_nats && track.missing_rows == 0 &&
        (loudest == nullptr || track.strongest_power > loudest->strongest_power))
      loudest = &track;
  return loudest;
}

}  // namespace hushmill::listen
