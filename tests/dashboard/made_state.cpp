#include "made_state.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>

namespace hushmill::test {
namespace {

using listen::PeakRole;
using listen::Verdict;

constexpr double kBinHz = 11.71875;  // 48 kHz, 4096 samples
constexpr std::size_t kBins = 2049;
constexpr double kChatterHz = 1807.0;  // between tooth multiples 4 and 5 of 400 Hz
constexpr double kRoomHz = 684.0;      // a coolant pump

/// The same noise for the same bin and moment, about ±4 dB.
double noise_db(std::size_t bin, std::uint64_t moment) {
  std::uint64_t x = bin * 0x9E3779B97F4A7C15ULL ^ moment * 0xD1B54A32D192ED03ULL;
  x ^= x >> 31U;
  x *= 0xBF58476D1CE4E5B9ULL;
  x ^= x >> 27U;
  return 8.0 * (static_cast<double>(x >> 11U) / 9007199254740992.0 - 0.5);
}

void add_line(std::vector<float>& spectrum, double hz, double dbfs) {
  const double centre = hz / kBinHz;
  for (int off = -4; off <= 4; ++off) {
    const auto bin = std::lround(centre) + off;
    if (bin < 0 || bin >= static_cast<long>(spectrum.size())) continue;
    const double away = static_cast<double>(bin) - centre;
    float& at = spectrum[static_cast<std::size_t>(bin)];
    at = std::max(at, static_cast<float>(dbfs - 7.5 * away * away));
  }
}

Verdict verdict_of(Made what) {
  switch (what) {
    case Made::air:
      return Verdict::no_cut;
    case Made::steady:
      return Verdict::steady;
    case Made::forced:
      return Verdict::forced_vibration;
    case Made::building:
      return Verdict::building;
    case Made::chatter:
      break;
  }
  return Verdict::chatter;
}

listen::Episode made_episode(double start_s, double end_s, bool open) {
  listen::Episode episode;
  episode.start_s = start_s;
  episode.alert_s = start_s + 0.12;
  episode.end_s = end_s;
  episode.open = open;
  episode.chatter_hz = kChatterHz;
  episode.peak_dbfs = -14;
  episode.chatter_share = 0.64;
  episode.growth_per_s = 9;
  return episode;
}

/// Two earlier speeds and the running one, as far as this moment has come.
std::vector<trial::Trial> made_trials(Made what, double t_s) {
  trial::Trial first;
  first.to_s = 0.3 * t_s;
  first.spindle_rpm = 6600;
  first.outcome = trial::Outcome::returned;
  first.cut_s = 3;
  first.quiet_s = 2.1;
  first.chatter_hz = kChatterHz;
  first.returns = {{0.2 * t_s, 0.6, kChatterHz, 1.6}};
  first.laps = trial::Laps{2.1, 0.07, 1};
  trial::Trial second = first;
  second.from_s = first.to_s;
  second.to_s = 0.6 * t_s;
  second.spindle_rpm = 4800;
  second.outcome = trial::Outcome::held;
  second.quiet_s = second.cut_s = 7.4;
  second.passes = 1;
  second.chatter_hz = 0;
  second.returns.clear();
  second.laps.reset();
  trial::Trial now;
  now.running = true;
  now.pass_needed = true;
  now.from_s = second.to_s;
  now.judged_from_s = now.from_s + 1;
  now.to_s = t_s;
  now.spindle_rpm = 6000;
  if (what != Made::air) now.cut_s = now.quiet_s = now.quiet_run_s = 2.4;
  if (what == Made::chatter) {
    now.outcome = trial::Outcome::chattered;
    now.quiet_s = now.quiet_run_s = 0;
    now.chatter_s = 2.4;
    now.chatter_hz = kChatterHz;
  }
  return {first, second, now};
}

}  // namespace

live::State made_state(Made what, double t_s, bool rig) {
  live::State state;
  state.card.programmed_rpm = 6000;
  state.card.override_percent = 100;
  state.card.flutes = 4;
  state.card.diameter_mm = 12;
  state.card.radial_mm = 6;
  state.card.depth_mm = 4;
  state.card.milling = advise::Milling::climb;
  state.card.feed_mm_min = 1440;
  state.card.min_rpm = 500;
  state.card.max_rpm = 12000;
  state.card.tool_max_rpm = 7200;
  state.source.kind = rig ? live::SourceKind::rig : live::SourceKind::microphone;
  state.source.name = rig ? "rig" : "Desk microphone on the bench";
  state.source.sample_rate_hz = 48000;
  state.source.running = true;
  state.trials = made_trials(what, t_s);
  if (rig) state.rig = rig::RigControls{6000, 4, 6, 0.06, what != Made::air};

  listen::Snapshot& now = state.snapshot;
  now.t_s = t_s;
  now.sample_rate_hz = 48000;
  now.sample = static_cast<std::int64_t>(t_s * 48000);
  now.verdict = verdict_of(what);
  now.confidence = 0.9;
  now.since_s = std::max(0.0, t_s - 2.4);
  now.entered_rpm = 6000;
  now.flutes = 4;
  if (what != Made::air) now.measured_rpm = 5983;
  now.tooth_passing_hz = now.measured_rpm.value_or(6000) * 4 / 60;
  now.level_dbfs = what == Made::air ? -44 : -19;
  now.peak_dbfs = now.level_dbfs + 9;
  now.room_known = true;
  now.bin_hz = kBinHz;

  const auto moment = static_cast<std::uint64_t>(t_s * 40);
  now.spectrum_dbfs.resize(kBins);
  now.room_dbfs.resize(kBins);
  for (std::size_t bin = 0; bin < kBins; ++bin) {
    const double floor_db =
        -72 - 22.0 * static_cast<double>(bin) / kBins + 10 * std::exp(-static_cast<double>(bin) / 60);
    now.spectrum_dbfs[bin] = static_cast<float>(floor_db + noise_db(bin, moment));
    now.room_dbfs[bin] = static_cast<float>(floor_db - 2);
  }
  const auto line = [&](double hz, double dbfs, PeakRole role, int order) {
    add_line(now.spectrum_dbfs, hz, dbfs);
    now.peaks.push_back({hz, dbfs, dbfs + 75, role, order});
  };
  line(kRoomHz, -58, PeakRole::room, 0);
  add_line(now.room_dbfs, kRoomHz, -58);
  if (what != Made::air) {
    for (int order = 1; order <= 14; ++order) {
      const bool loud = what == Made::forced && order == 5;
      line(order * now.tooth_passing_hz, loud ? -16.0 : -32.0 - 1.6 * order, PeakRole::tooth, order);
    }
    for (const int order : {9, 13, 17}) line(order * now.tooth_passing_hz / 4, -55, PeakRole::rotation, order);
  }
  if (what == Made::building || what == Made::chatter) {
    listen::ChatterNow chatter;
    chatter.chatter_hz = kChatterHz;
    chatter.dbfs = what == Made::chatter ? -14 : -40;
    chatter.share = what == Made::chatter ? 0.64 : 0.08;
    chatter.growth_db_s = what == Made::chatter ? 0.4 : 78;
    chatter.start_s = t_s - 2.4;
    if (what == Made::chatter) chatter.alert_s = t_s - 2.28;
    now.chatter = chatter;
    for (int k = -3; k <= 4; ++k) {
      line(kChatterHz + k * now.tooth_passing_hz, chatter.dbfs - 7.0 * std::abs(k), PeakRole::chatter, k);
    }
    for (int k = 5; k <= 9; ++k) {
      line(k * now.tooth_passing_hz - kChatterHz, chatter.dbfs - 16 - 3.0 * (k - 5), PeakRole::chatter, k);
    }
  }
  std::sort(now.peaks.begin(), now.peaks.end(),
            [](const listen::Peak& a, const listen::Peak& b) { return a.dbfs > b.dbfs; });

  if (what == Made::chatter) {
    state.episodes.push_back(made_episode(t_s - 2.4, t_s, true));
    state.episode_count = 1;
    state.advice_ready = true;
    advise::Candidate lower;
    lower.spindle_rpm = 5390;
    lower.override_percent = 89.8;
    lower.knob_percent = 90;
    lower.feed_mm_min = 1294;
    lower.lobe = 5;
    lower.plain_spindle_rpm = 5421;
    lower.likelihood = 0.8;
    lower.knob_likelihood = 0.68;
    lower.width_from_rpm = 5180;
    lower.width_to_rpm = 5425;
    advise::Candidate higher = lower;
    higher.spindle_rpm = 6740;
    higher.override_percent = 112.3;
    higher.knob_percent = 110;
    higher.feed_mm_min = 1618;
    higher.lobe = 4;
    higher.plain_spindle_rpm = 6776;
    higher.likelihood = 0.45;
    higher.width_from_rpm = 6420;
    higher.width_to_rpm = 6790;
    // The longest note of the adviser.
    state.advice.notes = {"High lobe numbers, 14.7 waves per tooth: pockets are narrow; less depth, more stiffness or a much lower speed help more."};
    state.advice.lower = lower;
    state.advice.higher = higher;
    state.advice.prefer = advise::Direction::lower;
    state.advice.reason = "Lower first: gentler, and a knob step lies inside the pocket.";
  }
  return state;
}

std::vector<live::State> made_session(Made last, double every_s, bool rig) {
  struct Stretch {
    Made what;
    double to_s;
    double override_percent;
  };
  std::vector<Stretch> stretches{{Made::air, 3, 100},     {Made::steady, 14, 110}, {Made::chatter, 16, 110},
                                 {Made::steady, 26, 110}, {Made::forced, 29, 80},  {Made::steady, 40, 80},
                                 {Made::air, 42, 80},     {Made::steady, 46, 100}, {last, 52, 100}};
  std::vector<live::State> states;
  std::vector<listen::Episode> episodes;
  double t_s = 0;
  for (const Stretch& stretch : stretches) {
    const double began_s = t_s;
    for (; t_s < stretch.to_s; t_s += every_s) {
      live::State state = made_state(stretch.what, t_s, rig);
      state.card.override_percent = stretch.override_percent;
      if (state.rig) state.rig->spindle_rpm = state.card.entered_rpm();
      state.snapshot.since_s = began_s;
      if (state.snapshot.measured_rpm) {
        state.snapshot.measured_rpm = 0.9972 * state.card.entered_rpm();
      }
      if (stretch.what == Made::chatter) {
        if (episodes.empty() || !episodes.back().open) episodes.push_back(made_episode(began_s, t_s, true));
        episodes.back().end_s = t_s;
        state.snapshot.chatter->start_s = began_s;
      } else if (!episodes.empty()) {
        episodes.back().open = false;
      }
      state.episodes = episodes;
      state.episode_count = episodes.size();
      states.push_back(std::move(state));
    }
  }
  return states;
}

dashboard::Session session_of(const std::vector<live::State>& states) {
  dashboard::Session session;
  for (const live::State& state : states) session.add(state);
  return session;
}

}  // namespace hushmill::test
