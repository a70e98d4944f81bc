// The inside of the Listener: the parts in the order in which the sound passes them. Seen by the listener's own files
// only.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <stdexcept>
#include <string>

#include "listen/background.hpp"
#include "listen/chatter_lattice.hpp"
#include "listen/cut_gate.hpp"
#include "listen/episode_book.hpp"
#include "listen/family.hpp"
#include "listen/family_spacing.hpp"
#include "listen/forced_watch.hpp"
#include "listen/foreign_watch.hpp"
#include "listen/frames.hpp"
#include "listen/heard_band.hpp"
#include "listen/level_meter.hpp"
#include "listen/listener.hpp"
#include "listen/microphone_truth.hpp"
#include "listen/room.hpp"
#include "listen/speed_doubt.hpp"
#include "listen/speed_fit.hpp"
#include "listen/speed_ramp.hpp"
#include "listen/start_watch.hpp"
#include "listen/tracker.hpp"
#include "signal/decibel.hpp"
#include "signal/lines.hpp"
#include "signal/spectrum.hpp"

namespace hushmill::listen {

/// The long window is looked at every this many hops.
inline constexpr std::size_t kLongEveryHops = 4;

/// How much longer than at 6000 rev/min the frames are.
double frame_scale(double spindle_rpm) noexcept;
/// Length of the two frames at scale 1, and of the longest that is ever asked for.
inline constexpr double kMiddleFrameS = 0.075;
inline constexpr double kLongFrameS = 0.23;
inline constexpr double kLongestFrameS = kLongFrameS * 8.0 * 1.1;

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
        tracker({}, hop_s,
                std::min(1.0, static_cast<double>(hop_samples) / static_cast<double>(middle.size_samples()))),
        long_tracker({}, hop_s * kLongEveryHops,
                     std::min(1.0, static_cast<double>(kLongEveryHops * hop_samples) /
                                       static_cast<double>(longer.size_samples()))) {}

  /// What was suspected is dropped.
  void forget_suspects() noexcept {
    tracker.reset();
    long_tracker.reset();
  }

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
  Tracker
      long_tracker;  // of the long window: slower, but it hears members 5 dB weaker and places them three times finer
};

struct Listener::Parts {
  explicit Parts(const ListenerSettings& settings_)
      : settings(settings_),
        microphone(settings_.sample_rate_hz),
        frames(settings_.sample_rate_hz, kLongestFrameS),
        analysis(std::in_place, frame_scale(settings_.spindle_rpm), frames.working_rate_hz(), frames.hop_s(),
                 frames.hop_samples()),
        doubt(analysis->longer.size_bins()),
        foreign(frames.hop_s() * kLongEveryHops, kLongFrameS * analysis->scale),
        episodes(EpisodeSettings{}) {
    expect_entered_speed();
    microphone.expect_rotation(settings.spindle_rpm / 60);
    lines.reserve(128);
    long_lines.reserve(128);
    comb_lines.reserve(128);
    start_lines.reserve(128);
    findings.stretches.push_back({0.0, 0.0, settings.spindle_rpm, std::nullopt, std::nullopt});
    fill_snapshot_frame();
  }

  // The way of the sound, in order.
  ListenerSettings settings;
  LevelMeter level;
  MicrophoneTruth microphone;
  Frames frames;
  std::optional<Analysis> analysis;
  SpeedFit speed;
  StartWatch start;
  StandingFamily standing{{.least_rows = 12, .least_nats = 60}};  // in a cut: what is new is heard sooner
  ChatterLattice lattice;
  SpeedRamp ramp;
  FamilySpacing spacing;
  SpeedDoubt doubt;
  CutGate gate;
  ForcedWatch forced;
  ForeignWatch foreign;
  EpisodeBook episodes;

  std::int64_t sample = 0;
  std::uint64_t hop = 0;
  std::vector<signal::Line> lines;
  std::vector<signal::Line> long_lines;
  std::vector<signal::Line> start_lines;  // of the first seconds, over the floor alone
  std::vector<signal::Line> comb_lines;  // of them, those that may speak of the spindle speed
  std::vector<NewLine> new_lines;
  std::vector<FamilyVote> votes;
  std::vector<Event> events;
  std::vector<Warning> told;  // by the door, see Listener::warn
  Findings findings;
  Snapshot snapshot;
  double cut_heard_since_s = 0;
  double follow_until_s = -1;  // the comb is on its way to a newly entered speed until then; negative: it is not
  double comb_moved_s = -1e9;  // when the spindle was last heard changing its speed
  double torn_s = -1e9;        // where sound was missing last
  double room_waits_until_s = 0;  // what sounds until then is a cut that was met midway
  bool was_forced = false;

  /// How long a frame holds the place where sound is missing (two hops more: the filter before it runs late), and whether it does now.
  double torn_for_s(const signal::Spectrum& window) const noexcept {
    return static_cast<double>(window.size_samples()) / frames.working_rate_hz() + 2 * frames.hop_s();
  }
  bool torn(const signal::Spectrum& window) const noexcept { return now_s() - torn_s < torn_for_s(window); }
  ToothPower teeth() const noexcept { return {gate.held_tooth_power(), gate.tooth_power(), gate.settled_tooth_power()}; }
  double now_s() const noexcept { return static_cast<double>(sample) / settings.sample_rate_hz; }
  Comb comb() const noexcept {
    return {speed.rotation_hz(), speed.flutes(), speed.relative_uncertainty(), speed.measured(),
            speed.measured() && doubt.trusted()};
  }

  void raise(EventKind kind, int index) { events.push_back({sample, now_s(), kind, index}); }
  void warn(Warning warning) {
    if (std::find(findings.warnings.begin(), findings.warnings.end(), warning) == findings.warnings.end())
      findings.warnings.push_back(warning);
  }

  /// Warnings of the input come, and those that only held so far go.
  void heed_microphone(bool at_end);

  void fill_snapshot_frame() {
    snapshot.sample_rate_hz = settings.sample_rate_hz;
    snapshot.bin_hz = analysis->middle.bin_hz();
    snapshot.spectrum_dbfs.assign(analysis->middle.size_bins(), -200.0F);
    snapshot.room_dbfs.clear();
  }

  void note_gap();
  void expect_entered_speed();
  void arrive_at_entered_speed();
  bool new_speed_explains_more() const noexcept;
  void refine_lone_line();
  void gather_comb_lines();
  void doubt_entered_speed();
  void run_hop();
  void run_long_row();
  void watch_start();
  void watch_lattice();
  void watch_unheard_cut();
  void believe_lattice(std::optional<double> factor);
  void watch_standing();
  void watch_foreign_tones(const Comb& now);
  Row make_row();
  void find_new_lines(std::span<const signal::Line> from, double bin_hz, const Comb& now);
  void suspect_long_families();
  double restraint() const noexcept;
  void hold_bins();
  void take_episodes();
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
}  // namespace hushmill::listen
