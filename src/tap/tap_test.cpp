#include "tap/tap_test.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <stdexcept>
#include <string>

#include "tap/bounce.hpp"
#include "tap/modes.hpp"
#include "tap/onsets.hpp"
#include "tap/rings.hpp"

namespace hushmill::tap {

namespace {
constexpr double kLeastRoomS = 0.25;
constexpr double kLeastRingS = 0.15;     // before the next tap
constexpr double kBeforeNextS = 0.005;   // the next push may begin a little before its onset
constexpr double kQuietShare = 0.06;     // of the middle tap's strength: −24 dB
constexpr double kNoisyDb = 15;
constexpr double kBeforeS = 0.03;        // so long before a strike the prediction needs to settle
constexpr double kFirstS = 0.05;
constexpr double kFewWaves = 2.5;        // time constants shorter than this many waves: damping above 6 %
constexpr double kFullScale = 0.985;

// Flat tops: neighbours equal at the very top of a loud tap, or at full scale.
bool is_clipped(std::span<const float> tap) {
  float top = 0;
  for (const float v : tap) top = std::max(top, std::abs(v));
  if (top < 0.02F) return false;
  int run = 0, flat = 0;
  for (const float v : tap) {
    run = std::abs(v) >= 0.9995F * top ? run + 1 : 0;
    if (run == 3) ++flat;
  }
  return flat >= 2 || (flat >= 1 && static_cast<double>(top) >= kFullScale);
}

double mean_power(std::span<const float> sound) {
  double sum = 0;
  for (const float v : sound) sum += static_cast<double>(v) * static_cast<double>(v);
  return sound.empty() ? 0 : sum / static_cast<double>(sound.size());
}

void warn(Findings& findings, bool is_so, Warning warning) {
  if (is_so) findings.warnings.push_back(warning);
}

Mode mode_of(const Evidence& e, double strongest) {
  constexpr double kTwoPi = 2 * std::numbers::pi;
  const double natural = std::abs(e.pole), decay = -e.pole.real();
  Mode mode;
  mode.natural_hz = natural / kTwoPi;
  mode.damped_hz = e.pole.imag() / kTwoPi;
  mode.damping_ratio = decay / natural;
  mode.natural_hz_spread = e.spread_rad_s / kTwoPi;
  mode.damping_ratio_spread = e.spread_rad_s / natural;
  mode.taps_agreeing = e.taps_agreeing;
  mode.level_db = 10 * std::log10(std::max(e.energy, 1e-300) / strongest);
  mode.ring_s = std::log(1000.0) / decay;
  return mode;
}
// What is vaguer than itself, or dead within a wave, is a thud and no mode of a tool or a part.
bool says_something(const Mode& mode) {
  constexpr double kVaguest = 0.05;  // of the frequency
  constexpr double kDeadest = 0.15;
  return mode.natural_hz_spread < kVaguest * mode.natural_hz && mode.damping_ratio_spread < mode.damping_ratio &&
         mode.damping_ratio < kDeadest;
}
}  // namespace

struct TapTest::Judged {
  Findings findings;
  std::vector<Stretch> rings;
  Stretch room;
};

TapTest::TapTest(double sample_rate_hz) : rate_hz_(sample_rate_hz) {
  if (!(sample_rate_hz >= kLowestRateHz && sample_rate_hz <= kHighestRateHz))
    throw std::invalid_argument("sample rate is " + std::to_string(sample_rate_hz) + " Hz; 8000 to 192000 would be right");
}

void TapTest::process(std::span<const float> samples) {
  const auto room = static_cast<std::size_t>(kLongestS * rate_hz_) - std::min(sound_.size(), static_cast<std::size_t>(kLongestS * rate_hz_));
  for (const float v : samples.first(std::min(samples.size(), room))) {
    const bool good = std::isfinite(v) && std::abs(v) < 1e6F;
    bad_samples_ += good ? 0 : 1;
    sound_.push_back(good ? v : 0.0F);
  }
}

void TapTest::reset() noexcept {
  sound_.clear();
  bad_samples_ = 0;
}

std::span<const float> TapTest::ring(double at_s, double length_s) const noexcept {
  const auto from = std::min(sound_.size(), static_cast<std::size_t>(std::max(0.0, at_s * rate_hz_)));
  return std::span<const float>(sound_).subspan(from, std::min(sound_.size() - from, static_cast<std::size_t>(length_s * rate_hz_)));
}

TapTest::Judged TapTest::judge() const {
  Judged judged;
  auto& findings = judged.findings;
  findings.heard_s = heard_s();
  findings.bad_samples = bad_samples_;
  const auto onsets = find_onsets(sound_, rate_hz_);
  const auto samples = [&](double s) { return static_cast<std::size_t>(s * rate_hz_); };
  std::vector<double> peaks;
  for (const auto& onset : onsets) peaks.push_back(onset.strength);
  std::sort(peaks.begin(), peaks.end());
  const double middle = peaks.empty() ? 0 : peaks[peaks.size() / 2];
  double first_power = 0;
  for (std::size_t k = 0; k < onsets.size(); ++k) {
    const auto& onset = onsets[k];
    const std::size_t end = k + 1 < onsets.size() ? onsets[k + 1].sample - std::min(onsets[k + 1].sample, samples(kBeforeNextS)) : sound_.size();
    const Stretch ring{onset.top, std::max(end, onset.top)};
    const double at_s = static_cast<double>(onset.sample) / rate_hz_;
    const auto reject = [&](WhyRejected why) { findings.rejected.push_back({at_s, why}); };
    const std::size_t before = std::min(onset.sample, samples(kBeforeS));
    const auto around = std::span<const float>(sound_).subspan(onset.sample - before, std::min(end, onset.sample + samples(0.3)) - (onset.sample - before));
    if (onset.strength < kQuietShare * middle)
      reject(WhyRejected::too_quiet);
    else if (is_clipped(around))
      reject(WhyRejected::clipped);
    else if (ring.size() < samples(kLeastRingS))
      reject(WhyRejected::too_close);
    else if (struck_twice(around, before + (onset.top - onset.sample), rate_hz_))
      reject(WhyRejected::double_hit);
    else {
      findings.tap_s.push_back(at_s);
      judged.rings.push_back(ring);
      first_power += mean_power(std::span<const float>(sound_).subspan(ring.from, std::min(ring.size(), samples(kFirstS))));
    }
  }
  if (!onsets.empty()) {
    const std::size_t until = onsets.front().sample;
    judged.room = {0, until - std::min(until, samples(0.01))};
    if (judged.room.size() < samples(kLeastRoomS)) judged.room = {};
  }
  findings.room_heard = judged.room.size() > 0;
  const double room = mean_power(std::span<const float>(sound_).subspan(judged.room.from, judged.room.size()));
  findings.room_dbfs = 10 * std::log10(std::max(room, 1e-20));
  if (!judged.rings.empty()) findings.over_room_db = 10 * std::log10(std::max(first_power / static_cast<double>(judged.rings.size()), 1e-20) / std::max(room, 1e-20));
  return judged;
}

Findings TapTest::taps() const { return judge().findings; }

Findings TapTest::findings() const {
  auto judged = judge();
  auto& findings = judged.findings;
  if (!judged.rings.empty()) {
    Rings rings(sound_, rate_hz_, judged.rings, judged.room);
    const auto found = find_modes(rings);
    double strongest = 1e-300;
    for (const auto& e : found.modes) strongest = std::max(strongest, e.energy);
    for (const auto& e : found.modes)
      if (const Mode mode = mode_of(e, strongest); says_something(mode)) findings.modes.push_back(mode);
    findings.room_tones_hz = found.room_tones_hz;
  }
  const auto rejected = [&](WhyRejected why) {
    return std::any_of(findings.rejected.begin(), findings.rejected.end(), [&](const auto& tap) { return tap.why == why; });
  };
  const auto some_mode = [&](auto&& is_so) { return std::any_of(findings.modes.begin(), findings.modes.end(), is_so); };
  const auto taps = static_cast<int>(findings.tap_s.size());
  warn(findings, taps == 0 && findings.rejected.empty(), Warning::no_taps);  // why they were left out says what to do
  warn(findings, taps > 0 && findings.modes.empty(), Warning::no_modes);
  warn(findings, taps > 0 && taps < 3, Warning::few_taps);
  warn(findings, some_mode([&](const Mode& mode) { return 2 * mode.taps_agreeing <= taps; }), Warning::taps_differ);
  warn(findings, some_mode([](const Mode& mode) { return mode.damping_ratio > 1 / (2 * std::numbers::pi * kFewWaves); }), Warning::little_ring);
  warn(findings, taps > 0 && findings.over_room_db < kNoisyDb, Warning::noisy);
  warn(findings, (taps > 0 || !findings.rejected.empty()) && judged.room.size() == 0, Warning::no_room);
  warn(findings, !findings.room_tones_hz.empty(), Warning::room_tones);
  warn(findings, rejected(WhyRejected::clipped), Warning::clipped);
  warn(findings, rejected(WhyRejected::double_hit), Warning::double_hits);
  warn(findings, rejected(WhyRejected::too_quiet), Warning::too_quiet);
  warn(findings, rejected(WhyRejected::too_close), Warning::too_close);
  warn(findings, findings.bad_samples > 0, Warning::bad_samples);
  return findings;
}

}  // namespace hushmill::tap
