#include "support/shop_day.hpp"

#include <algorithm>
#include <cmath>

#include "support/additive_shop.hpp"
#include "support/milling_corpus.hpp"

namespace hushmill::test {
namespace {

// Made at half the rate and filled up: half the time, and what a microphone hears of a mill lies below 12 kHz anyway.
constexpr double kMadeHz = kDayRateHz / 2;
constexpr double kFadeS = 0.4;    // from one scene to the next
constexpr double kMillingS = 10;  // of a scene; the simulator takes ten times as long as the sums of tones
constexpr double kOwnRoomDb = 60;  // so far below its cut is each scene's own room: the shop's is one for the whole day
constexpr double kRoomDbfs = -45;

// Between two samples: the four neighbours' cubic (weights of Lagrange's polynomial at the middle).
std::vector<float> at_day_rate(const std::vector<float>& made) {
  std::vector<float> sound(static_cast<std::size_t>(kSceneS * kDayRateHz), 0.0F);
  const auto at = [&](std::size_t i) { return i < made.size() ? made[i] : 0.0F; };
  for (std::size_t i = 0; i < made.size() && 2 * i + 1 < sound.size(); ++i) {
    sound[2 * i] = made[i];
    sound[2 * i + 1] = (9 * (made[i] + at(i + 1)) - (i > 0 ? made[i - 1] : made[i]) - at(i + 2)) / 16;
  }
  return sound;
}

double rms_of(const std::vector<float>& sound) {
  double sum = 0;
  for (const float sample : sound) sum += static_cast<double>(sample) * static_cast<double>(sample);
  return std::sqrt(sum / static_cast<double>(sound.size()));
}

double amplitude(double dbfs) { return std::pow(10.0, dbfs / 20); }

void fade(std::vector<float>& sound, double length_s) {
  const auto edge = static_cast<std::size_t>(kFadeS * kDayRateHz);
  const auto end = std::min(sound.size(), static_cast<std::size_t>(length_s * kDayRateHz));
  for (std::size_t i = 0; i < edge; ++i) {
    const auto share = static_cast<float>(i) / static_cast<float>(edge);
    sound[i] *= share;
    sound[end - 1 - i] *= share;
  }
}

Nuisance disturbance(Chance& chance) {
  constexpr Nuisance kAll[] = {Nuisance::pump,      Nuisance::beeper,     Nuisance::music,   Nuisance::speech,        Nuisance::air_blast,
                               Nuisance::knocks,    Nuisance::corner,     Nuisance::runout,  Nuisance::droop,         Nuisance::second_cut,
                               Nuisance::neighbour, Nuisance::radio,      Nuisance::hum,     Nuisance::fan,           Nuisance::override_ramp,
                               Nuisance::entry_exit, Nuisance::tool_change, Nuisance::forced};
  return kAll[chance.whole(0, static_cast<int>(std::size(kAll)) - 1)];
}

void take(Scene& scene, const ShopSound& shop) {
  scene.samples = at_day_rate(shop.samples);
  scene.rpm = shop.entered_rpm;
  scene.flutes = shop.flutes;
  scene.entered_later = shop.entered_later;
  scene.cut_start_s = shop.cut_start_s;
  scene.unstable_from_s = shop.unstable_from_s;
  scene.onset_s = shop.onset_s;
  scene.chatter_end_s = shop.chatter_end_s;
}

}  // namespace

Scene ShopDay::draw() {
  Scene scene;
  const std::uint64_t seed = ++seed_;
  // So that the shortest of days has one chatter, too.
  const bool second = ++number_ == 2;
  const double drawn = chance_.uniform();
  const double which = second ? 0.5 : drawn;
  if (which < 0.15) {
    scene.kind = "idle";
    scene.samples.assign(static_cast<std::size_t>(kSceneS * kDayRateHz), 0.0F);
    return scene;
  }
  scene.cut = which >= 0.3;
  scene.chatter = scene.cut && (chance_.one_in(8) || second);
  const bool milling = which >= 0.95;
  ShopSettings shop{.seed = seed, .sample_rate_hz = kMadeHz, .duration_s = kSceneS, .chatter = scene.chatter, .cut_over_room_db = kOwnRoomDb};
  if (!scene.cut) {
    shop.nuisance = Nuisance::no_cut;
  } else if (!milling && !scene.chatter && chance_.one_in(3)) {
    shop.nuisance = disturbance(chance_);
  }
  take(scene, milling ? make_milling_sound({.seed = seed, .sample_rate_hz = kMadeHz, .duration_s = kMillingS, .chatter = scene.chatter, .cut_over_room_db = kOwnRoomDb})
                      : make_shop_sound(shop));
  if (scene.chatter) scene.chatter_end_s = std::min(scene.chatter_end_s, milling ? kMillingS : kSceneS);
  // From 9 to 20 dB over the shop, whatever the generators' own scale.
  const double gain = amplitude(kRoomDbfs + chance_.uniform(9, 20)) / std::max(rms_of(scene.samples), 1e-9);
  for (float& sample : scene.samples) sample *= static_cast<float>(gain);
  fade(scene.samples, milling ? kMillingS : kSceneS);
  scene.kind = !scene.cut ? "elsewhere" : scene.chatter ? "chatter" : milling ? "simulated cut" : shop.nuisance == Nuisance::none ? "cut" : std::string("cut, ") + word(shop.nuisance);
  return scene;
}

// The shop itself goes on under every scene: noise that falls towards high frequencies, mains and two fans.
void ShopDay::lay_room(Scene& scene) {
  constexpr double kToneHz[] = {100, 290, 720}, kToneShare[] = {0.5, 0.3, 0.15};
  constexpr double kNoiseRms = 1.15;  // of the noise below, counted over 200 000 samples
  const double scale = amplitude(kRoomDbfs) / kNoiseRms;
  for (float& sample : scene.samples) {
    const double w = room_.normal();
    slow_ += 0.004 * (w - slow_);
    mid_ += 0.06 * (w - mid_);
    double room = 12 * slow_ + 4 * mid_ + 0.2 * w;
    for (std::size_t i = 0; i < std::size(kToneHz); ++i) room += kToneShare[i] * kNoiseRms * tones_[i].next(kToneHz[i], kDayRateHz);
    sample = std::clamp(sample + static_cast<float>(scale * room), -1.0F, 1.0F);
  }
}

Scene ShopDay::next() {
  Scene scene = draw();
  lay_room(scene);
  return scene;
}

}  // namespace hushmill::test
