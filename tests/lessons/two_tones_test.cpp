// Two real tones are followed to a tenth of a hertz.
#include "lessons/two_tones.hpp"

#include <array>
#include <cmath>
#include <numbers>
#include <vector>

#include "lessons/forks.hpp"
#include "support/catch.hpp"
#include "support/chance.hpp"

using namespace hushmill;
using namespace hushmill::lessons;

namespace {

struct Fork {
  double hz = 440, loud = 0.1, decay_per_s = 0.4, phase = 0;
};

/// Forks struck at 0.3 s near a laptop: a click, the first overtone of a fork (about 6.27 times its note, from the
/// clamped-free bar of W.T. Thomson, "Theory of Vibration with Applications", Appendix D.3) that dies soon, room noise
/// `noise_db` below a fork.
std::vector<float> struck(const std::vector<Fork>& forks, double noise_db, double seconds, std::uint64_t seed) {
  test::Chance chance(seed);
  std::vector<float> sound(static_cast<std::size_t>(seconds * 48000));
  const double noise = 0.1 * std::pow(10, noise_db / 20);
  for (std::size_t i = 0; i < sound.size(); ++i) {
    const double t = static_cast<double>(i) / 48000 - 0.3;
    double sum = noise * chance.normal();
    if (t > 0)
      for (const Fork& fork : forks) {
        sum += fork.loud * std::exp(-fork.decay_per_s * t) * std::sin(2 * std::numbers::pi * fork.hz * t + fork.phase);
        sum += 0.5 * fork.loud * std::exp(-9 * t) * std::sin(2 * std::numbers::pi * 6.267 * fork.hz * t);
      }
    sound[i] = static_cast<float>(sum);
  }
  return sound;
}

}  // namespace

TEST_CASE("one fork at A4 is one tone of 440 Hz (ISO 16:1975), and no second is made up") {
  TwoTones tones(48000);
  for (const double noise_db : {-50.0, -30.0}) {
    tones.process(struck({{}}, noise_db, 3, 3));
    REQUIRE(tones.tones());
    CHECK_THAT(tones.tones()->first_hz, test::WithinAbs(440, 0.1));
    CHECK_FALSE(tones.tones()->second_hz);
  }
}

TEST_CASE("two forks are told apart to a tenth of a hertz, and so is their beat") {
  std::uint64_t seed = 10;
  for (const double apart_hz : {0.8, 1.5, 4.0, 12.0})
    for (const double second_loud : {0.1, 0.03}) {
      TwoTones tones(48000);
      tones.process(struck({{440, 0.1, 0.4, 0.3}, {440 + apart_hz, second_loud, 0.6, 2.0}}, -36, 2.6, ++seed));
      INFO(apart_hz << " Hz apart, the second " << second_loud);
      REQUIRE(tones.tones());
      REQUIRE(tones.tones()->second_hz);
      CHECK_THAT(tones.tones()->first_hz, test::WithinAbs(440, 0.1));
      CHECK_THAT(*tones.tones()->second_hz, test::WithinAbs(440 + apart_hz, 0.1));
      CHECK_THAT(tones.tones()->beat_hz(), test::WithinAbs(apart_hz, 0.1));
    }
}

TEST_CASE("three tones are not one and not two, and no frequency is made up for them") {
  std::uint32_t seed = 40;
  for (const auto& [a_hz, b_hz, c_hz] : {std::array{440.0, 442.0, 447.0}, {440.0, 445.0, 450.0}, {438.0, 440.0, 441.5}})
    for (const double third : {0.1, 0.06}) {
      TwoTones tones(48000);
      tones.process(struck({{a_hz, 0.1, 0.4, 0.3}, {b_hz, 0.1, 0.4, 1.0}, {c_hz, third, 0.4, 2.0}}, -36, 2.6, ++seed));
      INFO(a_hz << ", " << b_hz << ", " << c_hz << " Hz, the third " << third);
      REQUIRE(tones.tones());
      CHECK(tones.tones()->unclear);
      CHECK_FALSE(tones.tones()->second_hz);
    }
}

TEST_CASE("one tone that swells and fades is never two") {
  // Not as a fork dies: a loudspeaker's slow fade, a fork brought nearer by hand.
  TwoTones tones(48000);
  std::vector<float> piece(4800);
  std::size_t i = 0;
  for (int tenth = 0; tenth < 50; ++tenth) {
    for (float& sample : piece) {
      const double t = static_cast<double>(i++) / 48000;
      sample = static_cast<float>(0.1 * std::pow(std::sin(std::numbers::pi * t / 5), 2) * std::sin(2 * std::numbers::pi * 441 * t));
    }
    tones.process(piece);
    INFO(tenth);
    if (tones.tones()) CHECK_FALSE(tones.tones()->second_hz);
  }
}

TEST_CASE("three tones far apart ring, and are more than two") {
  TwoTones tones(48000);
  tones.process(struck({{440, 0.1, 0.4, 0.3}, {444, 0.1, 0.4, 1}, {523, 0.1, 0.4, 2}}, -36, 2.6, 4));
  REQUIRE(tones.tones());
  CHECK(tones.tones()->unclear);
}

TEST_CASE("noise and silence are no forks") {
  TwoTones tones(48000);
  tones.process(std::vector<float>(96000));
  CHECK_FALSE(tones.tones());
  test::Chance chance(5);
  std::vector<float> noise(96000);
  for (float& sample : noise) sample = static_cast<float>(0.1 * chance.normal());
  tones.process(noise);
  CHECK_FALSE(tones.tones());
}

TEST_CASE("with a microphone the lesson hears real forks, and its own stand still") {
  Forks lesson(1);
  REQUIRE(lesson.can_hear());
  lesson.hear(struck({{440, 0.1, 0.4, 0}, {445, 0.08, 0.4, 1}}, -36, 2.6, 7));
  const Scene scene = lesson.scene();
  REQUIRE(scene.tasks.size() == 1);  // of what the simulation would answer nothing is asked
  CHECK(scene.tasks[0].solved);
  CHECK(scene.controls.empty());
  CHECK(scene.deeds.empty());
  CHECK_FALSE(lesson.set(Forks::second_hz, 441));
  CHECK_FALSE(lesson.act(Forks::strike_first));
  CHECK(std::get<ForksPicture>(scene.picture).microphone);
}
