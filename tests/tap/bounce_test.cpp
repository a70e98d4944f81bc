// One strike or two, on made-up rings of known strikes.
#include "tap/bounce.hpp"

#include "support/catch.hpp"
#include "support/tapped.hpp"
#include "tap/onsets.hpp"

using namespace hushmill;

namespace {
test::TappedSound struck(double again_after_s, double again_strength, double room_share) {
  test::TappedThing thing;
  thing.duration_s = 1.2;
  thing.modes = {{900, 0.01, 1}, {2300, 0.004, 0.5}};
  thing.hits = {{0.5, 1, again_after_s, again_strength}};
  thing.click = 0.2;
  thing.room_share = room_share;
  thing.noise_below_db = 30;
  return test::make_tapped(thing, 3);
}

bool twice(const test::TappedSound& sound) { return tap::struck_twice(std::span<const float>(sound.samples).subspan(23500, 15000), 520, 48000); }
}  // namespace

TEST_CASE("a bounce is told from a clean strike, with and without a near room") {
  for (const double room : {0.0, 0.02}) {
    CHECK_FALSE(twice(struck(0, 0, room)));
    CHECK(twice(struck(0.02, 0.6, room)));
    CHECK(twice(struck(0.05, 0.5, room)));
  }
}

TEST_CASE("a bounce on what rings low under as much noise is told, too, and a clean strike is none") {
  for (const double again_after_s : {0.0, 0.026, 0.05}) {
    test::TappedThing thing;
    thing.duration_s = 1.4;
    thing.modes = {{59, 0.002, 1}, {289, 0.02, 0.5}};
    thing.hits = {{0.5, 1, again_after_s, 0.69}};
    thing.contact_s = 0.0006;
    thing.click = 0.1;
    thing.room_share = 0.01;
    const auto sound = test::make_tapped(thing, 5);
    INFO(again_after_s);
    CHECK(tap::struck_twice(std::span<const float>(sound.samples).subspan(22560, 40000), 1440, 48000) == (again_after_s > 0));
  }
}

TEST_CASE("strikes are found to a few milliseconds, on top of each other's ring") {
  test::TappedThing thing;
  thing.duration_s = 4;
  thing.modes = {{440, 0.0005, 1}};
  thing.hits = {{0.8}, {1.7}, {2.75}};
  thing.click = 0.2;
  const auto sound = test::make_tapped(thing, 4);
  const auto onsets = tap::find_onsets(sound.samples, 48000);
  REQUIRE(onsets.size() == 3);
  for (std::size_t k = 0; k < 3; ++k) CHECK(std::abs(static_cast<double>(onsets[k].sample) / 48000 - thing.hits[k].at_s) < 0.006);
}
