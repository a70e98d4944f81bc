#include "listen/listener.hpp"

#include "listen/listener_parts.hpp"
#include "text/within.hpp"

namespace hushmill::listen {

namespace {
// Frames follow the spindle in steps, so that a small change of speed leaves them alone. At 6000 rev/min and above the
// middle frame is 75 ms, the long one 230 ms; at half the speed twice that.
constexpr std::array<double, 7> kFrameScales{1.0, 1.5, 2.0, 3.0, 4.0, 6.0, 8.0};

constexpr double kSilentDbfs = -90;
constexpr double kMostRampS = 3.0;  // a spindle reaches another override step in this time
constexpr double kArrivedWithin = 0.02;
constexpr double kLookStep = 0.0004;
constexpr double kLookWithin = 0.006;
constexpr double kClearlyThere = 2.0;  // full lines
constexpr double kClearlyMore = 1.5;
constexpr double kHighLobe = 9;  // waves per tooth past which a change of speed buys little
}  // namespace

double frame_scale(double spindle_rpm) noexcept {
  const double wanted = 0.9 * 6000.0 / spindle_rpm;
  for (const double scale : kFrameScales)
    if (scale >= wanted) return scale;
  return kFrameScales.back();
}

void Listener::Parts::note_gap() {
  torn_s = now_s();
  const double until_s = torn_s + torn_for_s(analysis->middle);
  auto& torn = findings.torn;
  if (!torn.empty() && torn.back().to_s >= torn_s)
    torn.back().to_s = until_s;
  else
    torn.push_back({torn_s, until_s});
}

void Listener::Parts::close_stretch() {
  auto& stretch = findings.stretches.back();
  stretch.to_s = now_s();
  stretch.measured_rpm = speed.mean_rpm();
  stretch.rpm_uncertainty = speed.mean_uncertainty_rpm();
}

void Listener::Parts::expect_entered_speed() {
  ramp.reset();
  comb_moved_s = now_s();
  speed.expect(settings.spindle_rpm, settings.flutes);
  start.expect(settings.spindle_rpm, settings.flutes);
  doubt.expect(settings.spindle_rpm, settings.flutes);
  findings.other_fit.reset();
}

void Listener::Parts::arrive_at_entered_speed() {
  if (follow_until_s < 0) return;
  const bool there =
      std::abs(speed.spindle_rpm() / settings.spindle_rpm - 1.0) < kArrivedWithin || new_speed_explains_more();
  auto& arrived_s = findings.stretches.back().arrived_s;
  arrived_s = now_s();
  if (!there && speed.measured() && gate.in_cut() && now_s() < follow_until_s) return;
  if (!there) arrived_s.reset();  // it went somewhere else, or nowhere: that is doubt's to say
  follow_until_s = -1;
  expect_entered_speed();
}

// A comb that is held, because something sings, may miss the way to the new speed: the lines tell that the spindle is
// there.
bool Listener::Parts::new_speed_explains_more() const noexcept {
  const double bin_hz = analysis->longer.bin_hz();
  const auto best_near = [&](double rpm, double within) {
    double best = 0;
    const int steps = static_cast<int>(within / kLookStep);
    for (int i = -steps; i <= steps; ++i)
      best = std::max(best, SpeedFit::score(long_lines, bin_hz, rpm * (1.0 + kLookStep * i), speed.flutes()));
    return best;
  };
  const double there = best_near(settings.spindle_rpm, kLookWithin);
  return there > kClearlyThere && there > kClearlyMore * best_near(speed.spindle_rpm(), kLookWithin);
}

void Listener::Parts::change_speed() {
  close_stretch();
  findings.stretches.push_back({now_s(), now_s(), settings.spindle_rpm, std::nullopt, std::nullopt});
  // The spindle takes its time: in the cut, the comb that is heard is followed until it comes near the new speed.
  if (gate.in_cut() && speed.measured() && settings.flutes == speed.flutes())
    follow_until_s = now_s() + kMostRampS;
  else
    expect_entered_speed();
  microphone.expect_rotation(settings.spindle_rpm / 60);
  episodes.new_speed();
  const double scale = frame_scale(settings.spindle_rpm);
  if (scale != analysis->scale) {
    const Analysis before = std::move(*analysis);
    analysis.emplace(scale, frames.working_rate_hz(), frames.hop_s(), frames.hop_samples());
    doubt = SpeedDoubt(analysis->longer.size_bins());
    doubt.expect(settings.spindle_rpm, settings.flutes);
    analysis->room.take_over(before.room, analysis->middle.bin_hz() / before.middle.bin_hz());
    analysis->long_room.take_over(before.long_room, analysis->longer.bin_hz() / before.longer.bin_hz());
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
  heed_microphone(true);
  if (level.bad_samples() > 0) warn(Warning::bad_samples);
  if (level.clipped_samples() > 0) warn(Warning::clipped);
  if (sample > 0 && level.highest_dbfs() < kSilentDbfs) warn(Warning::silent);
  for (const auto& episode : findings.episodes)
    if (episode.chatter_hz > kHighLobe * speed.tooth_hz() * settings.pattern_teeth) warn(Warning::high_lobe);
  const auto& first = findings.stretches.front();
  if (!findings.cuts.empty() && !first.measured_rpm) warn(Warning::speed_not_heard);
  for (const auto& stretch : findings.stretches)
    if (stretch.measured_rpm && std::abs(*stretch.measured_rpm / stretch.entered_rpm - 1.0) > 0.005)
      warn(Warning::speed_differs);
  if (!findings.episodes.empty()) {
    for (const auto& episode : findings.episodes)
      findings.confidence = std::max(findings.confidence, episode.confidence);
  } else {
    findings.confidence = snapshot.confidence;
  }
}

Listener::Listener(const ListenerSettings& settings) {
  text::within("sample rate (Hz)", settings.sample_rate_hz, 16000, 192000);
  text::within("spindle speed (rev/min)", settings.spindle_rpm, 10, 200000);
  text::within("flutes", settings.flutes, 1, 64);
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
    if (p.microphone.push(raw)) p.heed_microphone(false);
    if (p.frames.push(x)) p.run_hop();
  }
}

void Listener::set_spindle_rpm(double spindle_rpm) {
  text::within("spindle speed (rev/min)", spindle_rpm, 10, 200000);
  if (spindle_rpm == parts_->settings.spindle_rpm) return;
  parts_->settings.spindle_rpm = spindle_rpm;
  parts_->change_speed();
}

void Listener::set_flutes(int flutes) {
  text::within("flutes", flutes, 1, 64);
  if (flutes == parts_->settings.flutes) return;
  parts_->settings.flutes = flutes;
  parts_->change_speed();
}

void Listener::warn(Warning warning) {
  auto& told = parts_->told;
  if (std::find(told.begin(), told.end(), warning) == told.end()) told.push_back(warning);
  parts_->warn(warning);
}

void Listener::note_gap() { parts_->note_gap(); }

void Listener::finish() { parts_->finish(); }

std::vector<Event> Listener::take_events() {
  std::vector<Event> taken;
  taken.swap(parts_->events);
  return taken;
}

const Snapshot& Listener::snapshot() const noexcept { return parts_->snapshot; }
const Findings& Listener::findings() const noexcept { return parts_->findings; }

}  // namespace hushmill::listen
