// Only the past counts: a recording that is cut off right after the alarm raises the same alarm. Data invented.
#include <cmath>
#include <span>
#include <vector>

#include "listen/listener.hpp"
#include "rig/rig.hpp"
#include "rig/rig_settings.hpp"
#include "support/additive_shop.hpp"
#include "support/catch.hpp"

using namespace hushmill;

namespace {

listen::Findings heard(std::span<const float> sound, const listen::ListenerSettings& settings) {
  listen::Listener listener(settings);
  listener.process(sound);
  listener.finish();
  return listener.findings();
}

void same_when_cut_off(std::span<const float> sound, const listen::ListenerSettings& settings) {
  const auto whole = heard(sound, settings);
  for (std::size_t i = 0; i < whole.episodes.size(); ++i) {
    const auto end = static_cast<std::size_t>(std::llround(whole.episodes[i].alert_s * settings.sample_rate_hz));
    REQUIRE(end <= sound.size());
    const auto early = heard(sound.first(end), settings);
    REQUIRE(early.episodes.size() == i + 1);
    CHECK(early.episodes[i].alert_s == whole.episodes[i].alert_s);
    CHECK(early.episodes[i].start_s == whole.episodes[i].start_s);
    CHECK(early.episodes[i].open);
    // One hop earlier there was none.
    const auto before = heard(sound.first(end - static_cast<std::size_t>(0.011 * settings.sample_rate_hz)), settings);
    CHECK(before.episodes.size() == i);
  }
}

}  // namespace

TEST_CASE("cut off right after any alarm, additive sound raises the same alarm, and not a hop earlier", "[counts]") {
  std::size_t alarms = 0;
  for (std::uint64_t seed = 1400; seed < 1412; ++seed) {
    const auto shop = test::make_shop_sound({.seed = seed, .duration_s = 7, .chatter = true, .cut_over_room_db = 15});
    const listen::ListenerSettings settings{shop.sample_rate_hz, shop.entered_rpm, shop.flutes};
    INFO("seed " << seed);
    same_when_cut_off(shop.samples, settings);
    alarms += heard(shop.samples, settings).episodes.size();
  }
  CHECK(alarms >= 8);  // else nothing was tested
}

TEST_CASE("cut off right after any alarm, a simulated wall that chatters twice raises the same alarms") {
  auto scene = rig::bracket_wall();
  scene.start.in_cut = false;
  rig::Rig machine(scene);
  std::vector<float> sound(static_cast<std::size_t>(10 * scene.sample_rate_hz));
  const struct {
    double from_s;
    bool in_cut;
    double depth_mm;
  } passes[] = {{0, false, 1.2}, {2, true, 1.2}, {4, true, 3.0}, {6, false, 3.0}, {7.5, true, 3.0}, {10, false, 3.0}};
  for (std::size_t i = 0; i + 1 < std::size(passes); ++i) {
    auto knobs = machine.controls();
    knobs.in_cut = passes[i].in_cut;
    knobs.depth_mm = passes[i].depth_mm;
    machine.turn(knobs);
    const auto from = static_cast<std::size_t>(passes[i].from_s * scene.sample_rate_hz);
    const auto to = static_cast<std::size_t>(passes[i + 1].from_s * scene.sample_rate_hz);
    machine.process(std::span(sound).subspan(from, to - from));
  }
  const listen::ListenerSettings settings{scene.sample_rate_hz, scene.start.spindle_rpm, scene.model.cutter.flutes};
  CHECK(heard(sound, settings).episodes.size() == 2);
  same_when_cut_off(sound, settings);
}
