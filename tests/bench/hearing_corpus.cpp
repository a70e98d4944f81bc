#include "bench/hearing_corpus.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <span>

#include "bench/kept_sounds.hpp"
#include "bench/once_per_revolution.hpp"
#include "bench/oracle.hpp"
#include "listen/listener.hpp"
#include "support/milling_corpus.hpp"

namespace hushmill::bench {
namespace {

using test::Nuisance;

// Kinds of files without chatter, and the disturbances that a file with chatter may have.
constexpr Nuisance kAdditiveKinds[] = {
    Nuisance::none,      Nuisance::pump,          Nuisance::beeper,        Nuisance::music,       Nuisance::speech,
    Nuisance::air_blast, Nuisance::knocks,        Nuisance::corner,        Nuisance::wrong_speed, Nuisance::runout,
    Nuisance::droop,     Nuisance::second_cut,    Nuisance::neighbour,     Nuisance::radio,       Nuisance::hum,
    Nuisance::fan,       Nuisance::override_step, Nuisance::override_ramp, Nuisance::entry_exit,  Nuisance::tool_change,
    Nuisance::forced,    Nuisance::no_cut};
constexpr Nuisance kMillingKinds[] = {
    Nuisance::none,          Nuisance::pump,       Nuisance::beeper,     Nuisance::music,       Nuisance::speech,
    Nuisance::air_blast,     Nuisance::knocks,     Nuisance::corner,     Nuisance::wrong_speed, Nuisance::runout,
    Nuisance::neighbour,     Nuisance::radio,      Nuisance::hum,        Nuisance::fan,         Nuisance::override_step,
    Nuisance::override_ramp, Nuisance::entry_exit, Nuisance::tool_change};
constexpr Nuisance kWithChatter[] = {Nuisance::pump,      Nuisance::beeper, Nuisance::music,      Nuisance::speech,
                                     Nuisance::air_blast, Nuisance::knocks, Nuisance::radio,      Nuisance::neighbour,
                                     Nuisance::hum,       Nuisance::fan,    Nuisance::wrong_speed};

test::ShopSound make(const CorpusFile& file) {
  if (!file.additive)
    return test::make_milling_sound({.seed = file.seed,
                                     .duration_s = file.duration_s,
                                     .chatter = file.chatter,
                                     .even_slot = file.even_slot,
                                     .low_radial = file.low_radial,
                                     .cut_over_room_db = file.over_room_db,
                                     .nuisance = file.nuisance});
  return test::make_shop_sound({.seed = file.seed,
                                .duration_s = file.duration_s,
                                .chatter = file.chatter,
                                .nuisance = file.nuisance,
                                .flutes = file.even_slot ? (file.seed % 3 == 0 ? 6 : 4) : 0,
                                .lone_until_grown = file.even_slot,
                                .cut_over_room_db = file.over_room_db});
}

constexpr double kAskEveryS = 0.5;    // how often the speed is asked
constexpr double kSpeedHeardS = 0.8;  // what a fit may be asked to have heard
constexpr int kClearHarmonics = 5;
constexpr float kSteadyWithin = 2e-4F;

// The true speed where the tool was in the cut and the speed stood still all the time.
std::optional<double> steady_rpm(const test::ShopSound& shop, double from_s, double to_s) {
  const auto from = static_cast<std::size_t>(std::max(0.0, 100 * from_s)), to = static_cast<std::size_t>(100 * to_s);
  if (from_s < 0 || to > shop.cut_rpm.size()) return std::nullopt;
  const auto part = std::span(shop.cut_rpm).subspan(from, to - from);
  const auto [least, most] = std::minmax_element(part.begin(), part.end());
  if (part.empty() || *least <= 0 || *most - *least > kSteadyWithin * *least) return std::nullopt;
  return static_cast<double>(part[part.size() / 2]);
}

// Listens as the instrument does, told of later speeds when they are entered. Twice a second the measured
// speed is held against the truth where the sound tells it well: five multiples of the rotation and more, 10 dB clear.
listen::Findings listen_to(const test::ShopSound& shop, std::vector<double>& speed_errors) {
  listen::Listener listener({shop.sample_rate_hz, shop.entered_rpm, shop.flutes});
  const std::span<const float> all(shop.samples);
  const auto step = static_cast<std::size_t>(shop.sample_rate_hz / 10);
  auto change = shop.entered_later.begin();
  double ask_s = 0;
  for (std::size_t from = 0; from < all.size(); from += step) {
    const double t = static_cast<double>(from) / shop.sample_rate_hz;
    if (change != shop.entered_later.end() && t >= change->first) listener.set_spindle_rpm((change++)->second);
    listener.process(all.subspan(from, std::min(step, all.size() - from)));
    const double now_s = t + 0.1;
    if (now_s < ask_s || !listener.snapshot().measured_rpm) continue;
    ask_s = now_s + kAskEveryS;
    const auto rpm = steady_rpm(shop, now_s - kSpeedHeardS, now_s);
    if (rpm && clear_harmonics(all, shop.sample_rate_hz, now_s - kSpeedHeardS, now_s, *rpm) >= kClearHarmonics)
      speed_errors.push_back(std::abs(*listener.snapshot().measured_rpm / *rpm - 1));
  }
  listener.finish();
  return listener.findings();
}

Sounds true_sound(const CorpusFile& file, const Trial& trial) {
  if (trial.chatter) return trial.tone.period_doubling ? Sounds::period_doubling : Sounds::hopf;
  switch (file.nuisance) {
    case Nuisance::forced:
      return Sounds::forced;
    case Nuisance::no_cut:
      return Sounds::no_cut;
    case Nuisance::hum:
    case Nuisance::fan:
      return Sounds::steady;  // there from the start in half of the files
    default:
      return test::is_tonal(file.nuisance) ? Sounds::foreign_tone : Sounds::steady;
  }
}

Sounds said_sound(const listen::Findings& heard, const Trial& trial) {
  if (!heard.episodes.empty()) {
    const auto& episode = trial.right ? *trial.right : heard.episodes.front();
    return episode.kind == listen::ChatterKind::hopf ? Sounds::hopf : Sounds::period_doubling;
  }
  if (heard.forced_vibration_heard) return Sounds::forced;
  if (!heard.foreign_tones.empty()) return Sounds::foreign_tone;
  return heard.cuts.empty() ? Sounds::no_cut : Sounds::steady;
}

void judge(const listen::Findings& heard, const test::ShopSound& shop, Trial& trial) {
  constexpr double kAfterS = 0.3;  // what still rings when the chatter has ended
  for (const auto& episode : heard.episodes) {
    const bool in_chatter =
        trial.chatter && episode.alert_s >= shop.unstable_from_s && episode.alert_s <= shop.chatter_end_s + kAfterS;
    if (in_chatter) {
      ++trial.pieces;
      if (!trial.right) trial.right = episode;
    } else {
      if (!trial.first_false) trial.first_false = episode;
      ++trial.false_alarms;
    }
  }
}

void keep(const Trial& trial, const test::ShopSound& shop) {
  const bool wrong = trial.false_alarms > 0 || (trial.chatter && !trial.found());
  if (!wrong) return;
  std::string remark = trial.file.kind();
  if (trial.chatter)
    remark += fmt::format(
        "; chatter {:.1f} Hz, {:.1f} dB over the rest of its band, from {:.2f} s, past the mark at {:.2f} s",
        trial.tone.hz, trial.tone.over_rest_db, trial.unstable_from_s, trial.onset_s);
  if (trial.first_false)
    remark += fmt::format("; false alarm at {:.2f} s of {:.1f} Hz", trial.first_false->alert_s,
                          trial.first_false->chatter_hz);
  keep_sound(std::string(trial.false_alarms > 0 ? "false-" : "missed-") + trial.file.name(), shop.samples,
             shop.sample_rate_hz, shop.entered_rpm, shop.flutes, remark);
}

}  // namespace

const char* word(Sounds sounds) noexcept {
  constexpr const char* kWords[] = {"Hopf", "period doubling", "forced", "steady", "foreign tone", "no cut"};
  return kWords[static_cast<int>(sounds)];
}

std::string CorpusFile::name() const { return fmt::format("{} {}", additive ? "additive" : "simulated", seed); }

std::string CorpusFile::kind() const {
  std::string text = nuisance == Nuisance::none ? "plain cut" : test::word(nuisance);
  if (even_slot) text = nuisance == Nuisance::none ? "slot, 4 or 6 equal flutes" : text + ", slot";
  if (low_radial) text += ", sliver";
  return text;
}

CorpusFile corpus_file(int id, std::uint64_t first_seed) {
  CorpusFile file;
  file.seed = first_seed + static_cast<std::uint64_t>(id);
  file.additive = id % 2 == 0;
  file.chatter = (id / 2) % 2 == 0;
  test::Chance chance(file.seed + 99);
  file.over_room_db = chance.uniform(0, 20);
  file.duration_s = chance.uniform(6, 15);
  const int turn = id / 4;
  if (file.chatter) {
    file.even_slot = turn % 5 == 0;
    file.low_radial = !file.additive && turn % 5 == 3;
    if (turn % 4 == 1) file.nuisance = kWithChatter[static_cast<std::size_t>(turn / 4) % std::size(kWithChatter)];
    return file;
  }
  const std::size_t kinds = file.additive ? std::size(kAdditiveKinds) : std::size(kMillingKinds);
  const std::size_t kind = static_cast<std::size_t>(turn) % (kinds + 1);
  file.even_slot = kind == kinds;
  if (!file.even_slot) file.nuisance = file.additive ? kAdditiveKinds[kind] : kMillingKinds[kind];
  return file;
}

double Trial::frequency_error_hz() const {
  return std::abs(right->chatter_hz - nearest_of_family(right->chatter_hz, tone.hz, true_rpm * flutes / 60));
}

bool Trial::dominant_named() const { return std::abs(right->chatter_hz / tone.hz - 1) < 0.005; }

Trial try_file(const CorpusFile& file) {
  const test::ShopSound shop = make(file);
  Trial trial;
  trial.file = file;
  trial.onset_s = shop.onset_s;
  trial.unstable_from_s = shop.unstable_from_s;
  trial.true_rpm = shop.true_rpm;
  trial.entered_rpm = shop.entered_rpm;
  trial.flutes = shop.flutes;
  trial.chatter = file.chatter && shop.onset_s > 0;
  trial.unclear = file.chatter && !trial.chatter;
  const double end_s = file.duration_s;
  if (trial.chatter)
    trial.tone = true_tone(shop.chatter_track, shop.samples, shop.sample_rate_hz, shop.onset_s, shop.chatter_end_s,
                           shop.true_rpm, shop.flutes);
  std::vector<double> errors;
  const auto heard = listen_to(shop, errors);
  if (!errors.empty()) {
    std::nth_element(errors.begin(), errors.begin() + static_cast<std::ptrdiff_t>(errors.size() / 2), errors.end());
    trial.speed_error = errors[errors.size() / 2];
  }
  judge(heard, shop, trial);
  trial.truth = true_sound(file, trial);
  trial.said = said_sound(heard, trial);
  if (trial.chatter)
    trial.oracle_s = oracle_alarm_s(shop.samples, shop.sample_rate_hz,
                                    {shop.true_rpm, shop.flutes, trial.tone.hz, shop.unstable_from_s});
  trial.variance_ratio = variance_ratio(shop.samples, shop.sample_rate_hz, shop.cut_rpm,
                                        trial.chatter ? shop.unstable_from_s : shop.cut_start_s + 0.4,
                                        trial.chatter ? shop.chatter_end_s : end_s);
  keep(trial, shop);
  return trial;
}

}  // namespace hushmill::bench
