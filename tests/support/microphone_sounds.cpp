#include "support/microphone_sounds.hpp"

#include <algorithm>
#include <cmath>
#include <span>

#include "rig/rig.hpp"
#include "rig/rig_settings.hpp"
#include "support/milling_corpus.hpp"

namespace hushmill::test {

namespace {
ShopSound rig_in_and_out(std::uint64_t seed) {
  auto settings = seed % 3 == 0 ? rig::bracket_wall() : seed % 3 == 1 ? rig::rail_slot() : rig::tray_pocket();
  settings.seed = seed;
  settings.start.in_cut = false;
  settings.sound.healthy_dbfs -= 10;  // so that its chatter is not clipped either
  rig::Rig machine(settings);
  ShopSound shop;
  shop.sample_rate_hz = settings.sample_rate_hz;
  shop.entered_rpm = shop.true_rpm = settings.start.spindle_rpm;
  shop.flutes = settings.model.cutter.flutes;
  shop.samples.resize(static_cast<std::size_t>(12 * settings.sample_rate_hz));
  const auto second = static_cast<std::size_t>(settings.sample_rate_hz);
  for (std::size_t s = 0; s < 12; ++s) {
    auto knobs = machine.controls();
    knobs.in_cut = s % 4 >= 2;  // two seconds of room, two of cut
    machine.turn(knobs);
    machine.process(std::span<float>(shop.samples).subspan(s * second, second));
  }
  return shop;
}
}  // namespace

const char* word(SoundKind kind) noexcept {
  constexpr const char* kWords[] = {"simulated cuts", "additive shop", "rig in and out"};
  return kWords[static_cast<int>(kind)];
}

ShopSound make_microphone_sound(SoundKind kind, std::uint64_t seed) {
  Chance chance(seed + 7);
  const double over_room_db = chance.uniform(0, 20);
  const bool chatter = seed % 2 == 0;
  if (kind == SoundKind::rig_in_and_out) return rig_in_and_out(seed);
  if (kind == SoundKind::simulated) {
    const MillingSettings settings{.seed = seed, .chatter = chatter, .even_slot = seed % 8 == 0, .cut_over_room_db = over_room_db};
    auto shop = make_milling_sound(settings);
    // Chatter that clips is no clean sound: the same machine without it.
    if (std::any_of(shop.samples.begin(), shop.samples.end(), [](float x) { return std::abs(x) >= 0.9995F; })) {
      auto quieter = settings;
      quieter.chatter = false;
      shop = make_milling_sound(quieter);
    }
    return shop;
  }
  const auto nuisance = static_cast<Nuisance>(chatter ? 0 : (seed / 2) % 12);
  return make_shop_sound({.seed = seed, .chatter = chatter, .nuisance = nuisance, .cut_over_room_db = over_room_db});
}

bool is_of_the_input(listen::Warning warning) noexcept {
  using listen::Warning;
  switch (warning) {
    case Warning::bad_samples:
    case Warning::clipped:
    case Warning::silent:
    case Warning::faint:
    case Warning::dc_offset:
    case Warning::mains_hum:
    case Warning::dropped_samples:
    case Warning::one_sided:
    case Warning::sides_cancel:
    case Warning::rate_mismatch:
    case Warning::narrow_band:
    case Warning::noise_suppression:
    case Warning::automatic_gain:
      return true;
    default:
      return false;
  }
}

}  // namespace hushmill::test
