// The parts of the rig that are checked one by one: path, clean track, filter, random numbers.
#include <cmath>
#include <complex>
#include <vector>

#include "rig/clean_track.hpp"
#include "rig/decimator.hpp"
#include "rig/path.hpp"
#include "rig/random.hpp"
#include "support/catch.hpp"

using namespace hushmill;
using cutting::kPi;
using test::WithinAbs;
using test::WithinRel;

namespace {

constexpr auto kPathClimb = cutting::Milling::climb;

double arc_deg(const rig::PathSettings& path, double travelled_mm, double fraction) {
  const rig::Place place = rig::place_on_path(path, travelled_mm, fraction, kPathClimb);
  return (place.arc.exit_rad - place.arc.entry_rad) * 180 / kPi;
}

double direction_deg(const rig::PathSettings& path, double travelled_mm) {
  return rig::place_on_path(path, travelled_mm, 0.25, kPathClimb).feed_direction_rad * 180 / kPi;
}

}  // namespace

TEST_CASE("An inside corner adds up to a quarter turn of engagement and turns the feed by a quarter") {
  const rig::PathSettings pocket{.kind = rig::Path::pocket, .side_mm = 40, .corner_mm = 5};
  CHECK_THAT(arc_deg(pocket, 0, 0.25), WithinAbs(60, 1e-9));
  CHECK_THAT(arc_deg(pocket, 34.9, 0.25), WithinAbs(60, 1e-9));
  CHECK_THAT(arc_deg(pocket, 37.5, 0.25), WithinAbs(105, 1e-9));
  CHECK_THAT(arc_deg(pocket, 40, 0.25), WithinAbs(150, 1e-9));
  CHECK_THAT(arc_deg(pocket, 42.5, 0.25), WithinAbs(105, 1e-9));
  CHECK_THAT(arc_deg(pocket, 60, 0.25), WithinAbs(60, 1e-9));
  CHECK_THAT(arc_deg(pocket, 80, 0.25), WithinAbs(150, 1e-9));
  CHECK_THAT(arc_deg(pocket, 80, 0.75), WithinAbs(180, 1e-9));  // no more than a slot
  CHECK_THAT(direction_deg(pocket, 20), WithinAbs(0, 1e-9));
  CHECK_THAT(direction_deg(pocket, 40), WithinAbs(45, 1e-9));
  CHECK_THAT(direction_deg(pocket, 60), WithinAbs(90, 1e-9));
  CHECK_THAT(direction_deg(pocket, 100), WithinAbs(180, 1e-9));
  CHECK_THAT(std::fmod(direction_deg(pocket, 180) + 360, 360), WithinAbs(0, 1e-9));
  rig::PathSettings even = pocket;
  even.kind = rig::Path::even_pocket;
  CHECK_THAT(arc_deg(even, 40, 0.25), WithinAbs(60, 1e-9));
  CHECK_THAT(direction_deg(even, 60), WithinAbs(90, 1e-9));
  CHECK_THAT(arc_deg({.kind = rig::Path::slot}, 40, 0.25), WithinAbs(180, 1e-9));
}

TEST_CASE("The clean track parts what repeats with the rotation from what does not") {
  // 3 and 8 times the rotation repeat; 4.3 times does not. Of that tone the mean over four turns keeps |D|², D the
  // Dirichlet kernel of four terms (derived): the rest is off the multiples.
  rig::CleanTrack track(2000);
  const double step = 2 * kPi / 500;
  for (int i = 0; i < 6 * 500; ++i) {
    const double angle = i * step;
    track.push(angle,
               {1e-5 + 3e-6 * std::sin(3 * angle) + 2e-6 * std::cos(4.3 * angle + 0.4), 1e-6 * std::cos(8 * angle)});
  }
  const double kept = std::sin(4 * kPi * 4.3) / (4 * std::sin(kPi * 4.3));
  const double tone = 0.5 * 2e-6 * 2e-6;
  CHECK_THAT(track.chatter_rms_m(), WithinRel(std::sqrt(tone * (1 - kept * kept)), 0.01));
  CHECK_THAT(track.synchronous_rms_m(), WithinRel(std::sqrt(0.5 * 9e-12 + 0.5 * 1e-12 + tone * kept * kept), 0.03));
}

TEST_CASE("The filter that leaves the inner rate passes the sound and stops what would fold back") {
  for (const int factor : {2, 3, 6}) {
    const auto gain_at = [factor](double of_output_rate) {
      rig::Decimator filter(factor);
      std::complex<double> sum;
      const int settle = 200 * factor;
      for (int i = 0; i < settle + 1000 * factor; ++i) {
        const double turn = 2 * kPi * of_output_rate / factor * i;
        filter.push({static_cast<float>(std::cos(turn)), static_cast<float>(std::sin(turn)), 0, 0});
        if (i >= settle) {
          const rig::Decimator::Frame out = filter.filtered();
          sum += std::complex<double>(static_cast<double>(out[0]), static_cast<double>(out[1])) *
                 std::exp(std::complex<double>(0, -turn));
        }
      }
      return 20 * std::log10(std::abs(sum) / (1000 * factor));
    };
    CHECK_THAT(gain_at(0.01), WithinAbs(0, 0.01));
    CHECK_THAT(gain_at(0.40), WithinAbs(0, 0.05));
    CHECK(gain_at(0.59) < -75);
    CHECK(gain_at(0.9) < -75);
  }
}

TEST_CASE("The noise has mean 0 and standard deviation 1 and is white") {
  rig::Random random(3);
  constexpr int kCount = 400000;
  double sum = 0;
  double squares = 0;
  double neighbours = 0;
  double before = 0;
  for (int i = 0; i < kCount; ++i) {
    const double x = random.normal();
    sum += x;
    squares += x * x;
    neighbours += x * before;
    before = x;
  }
  CHECK_THAT(sum / kCount, WithinAbs(0, 0.01));
  CHECK_THAT(squares / kCount, WithinAbs(1, 0.01));
  CHECK_THAT(neighbours / kCount, WithinAbs(0, 0.01));
}
