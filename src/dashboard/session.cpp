#include "dashboard/session.hpp"

#include <cmath>

namespace hushmill::dashboard {
namespace {

bool same_speed(double a_rpm, double b_rpm) noexcept { return std::abs(a_rpm - b_rpm) <= 0.005 * std::abs(b_rpm); }

}  // namespace

advise::Outcome SpeedTried::outcome() const noexcept {
  if (returned) return advise::Outcome::returned;
  return episodes > 0 ? advise::Outcome::chattered : advise::Outcome::held;
}

int badness(listen::Verdict verdict) noexcept { return static_cast<int>(verdict); }

const SpeedTried* Session::tried(double rpm) const noexcept {
  for (const SpeedTried& one : speeds_) {
    if (same_speed(one.entered_rpm, rpm)) return &one;
  }
  return nullptr;
}

SpeedTried& Session::speed(double entered_rpm) {
  for (SpeedTried& one : speeds_) {
    if (same_speed(one.entered_rpm, entered_rpm)) return one;
  }
  speeds_.push_back({.entered_rpm = entered_rpm});
  return speeds_.back();
}

Session::SetUp Session::set_up_of(const live::State& state) {
  SetUp made{state.card.flutes, state.card.diameter_mm, state.card.radial_mm, state.card.depth_mm, {}, {}, {},
             state.card.milling};
  if (state.rig) {
    made.rig_radial_mm = state.rig->radial_mm;
    made.rig_depth_mm = state.rig->depth_mm;
    made.rig_feed_mm = state.rig->feed_per_tooth_mm;
  }
  return made;
}

void Session::change_set_up(const SetUp& now_set, double t_s) {
  constexpr double kSlipS = 20;  // as the instrument itself has it
  if (aside_ && aside_->set_up == now_set && t_s - aside_->at_s < kSlipS) {
    speeds_ = std::move(aside_->speeds);
    chattered_rpm_ = aside_->chattered_rpm;
    aside_.reset();
  } else {
    aside_.reset();
    // A turn at the simulator's own knobs is another cut for the instrument, too.
    const bool by_card = set_up_ && set_up_->rig_radial_mm == now_set.rig_radial_mm && set_up_->rig_depth_mm == now_set.rig_depth_mm && set_up_->rig_feed_mm == now_set.rig_feed_mm;
    if (by_card) aside_ = Aside{*set_up_, std::move(speeds_), chattered_rpm_, t_s};
    speeds_.clear();
    chattered_rpm_ = 0;
  }
  set_up_ = now_set;
  advice_.reset();
  counts_from_s_ = t_s + kCutSettlesS;
}

void Session::add(const live::State& state) {
  const listen::Snapshot& now = state.snapshot;
  if (!std::isfinite(now.t_s)) return;
  if (now.t_s < to_s_) *this = Session{};
  const double before_s = segments_.empty() ? now.t_s : to_s_;
  to_s_ = now.t_s;

  if (const SetUp now_set = set_up_of(state); now_set != set_up_) {
    change_set_up(now_set, now.t_s);
  }
  const double entered_rpm = state.card.entered_rpm();
  const SpeedTried* known = tried(entered_rpm);
  const bool doubted = now.verdict == listen::Verdict::steady && known && known->episodes > 0;
  if (segments_.empty() || segments_.back().verdict != now.verdict || segments_.back().entered_rpm != entered_rpm || segments_.back().doubted != doubted) {
    if (!segments_.empty()) segments_.back().to_s = now.t_s;
    segments_.push_back({now.t_s, now.t_s, now.verdict, entered_rpm, doubted});
    if (segments_.size() > kMostSegments) thin_out();
  }
  segments_.back().to_s = now.t_s;

  if (now.verdict == listen::Verdict::steady || now.verdict == listen::Verdict::forced_vibration) {
    SpeedTried& here = speed(entered_rpm);
    here.quiet_cut_s += now.t_s - before_s;
    here.quiet_run_s += now.t_s - before_s;
  }
  for (const listen::Episode& episode : state.episodes) {
    if (episode.start_s <= newest_episode_s_) continue;
    newest_episode_s_ = episode.start_s;
    // The speed may have been turned between the onset and this state: ask the memory, not the present card.
    double at_rpm = entered_rpm;
    for (const Segment& segment : segments_) {
      if (episode.alert_s >= segment.from_s && episode.alert_s <= segment.to_s) at_rpm = segment.entered_rpm;
    }
    chattered_at(at_rpm, episode.chatter_hz, episode.return_of.has_value());
  }
  trend_.add(now.t_s, now.chatter ? std::optional(now.chatter->dbfs) : std::nullopt);
  keep_advice(state);
  if (entered_rpm != speed_rpm_) {
    speed_rpm_ = entered_rpm;
    counts_from_s_ = now.t_s + kSpindleSettlesS;
  }
  const bool went_on = now.verdict == listen::Verdict::chatter && !same_speed(entered_rpm, chattered_rpm_);
  if (went_on && now.t_s >= counts_from_s_) chattered_at(entered_rpm, now.chatter ? now.chatter->chatter_hz : 0, false);
}

void Session::keep_advice(const live::State& state) {
  if (!state.advice_ready) return;
  const advise::Advice& now = state.advice;
  if (!now.lower && !now.higher) {
    advice_.reset();
    return;
  }
  const auto rpm = [](const std::optional<advise::Candidate>& one) { return one ? one->spindle_rpm : 0.0; };
  const bool same = advice_ && rpm(advice_->lower) == rpm(now.lower) && rpm(advice_->higher) == rpm(now.higher) &&
                    advice_->prefer == now.prefer;
  if (!same) advice_ = now;  // copied when it changes, not with every state
  advice_rpm_ = state.card.entered_rpm();
}

const advise::Advice* Session::advice_for(const live::State& state) const noexcept {
  if (state.advice_ready) return &state.advice;
  const bool here = advice_ && same_speed(state.card.entered_rpm(), advice_rpm_) && set_up_of(state) == set_up_;
  return here ? &*advice_ : nullptr;
}

void Session::chattered_at(double entered_rpm, double chatter_hz, bool returned) {
  chattered_rpm_ = entered_rpm;
  SpeedTried& at = speed(entered_rpm);
  ++at.episodes;
  at.quiet_run_s = 0;
  at.returned = at.returned || returned;
  at.last_chatter_hz = chatter_hz;
}

// Halves the memory: neighbours become one, under the worse verdict, so that no chatter is ever forgotten.
void Session::thin_out() {
  std::vector<Segment> fewer;
  fewer.reserve(kMostSegments);
  for (std::size_t i = 0; i + 1 < segments_.size(); i += 2) {
    const Segment &a = segments_[i], &b = segments_[i + 1];
    const Segment& worse = badness(a.verdict) >= badness(b.verdict) ? a : b;
    fewer.push_back({a.from_s, b.to_s, worse.verdict, worse.entered_rpm, worse.doubted});
  }
  if (segments_.size() % 2 == 1) fewer.push_back(segments_.back());
  segments_ = std::move(fewer);
}

}  // namespace hushmill::dashboard
