// The engine on the chatter families of the one-mode benchmark: where the lines stand, and of which kind the chatter
// is.
//
// Family structure: T. Insperger, G. Stépán, P.V. Bayly, B.P. Mann, "Multiple chatter frequencies in milling
// processes", J. Sound Vib. 262 (2003) 333-345 (from memory): a secondary Hopf bifurcation sounds at ±f_c + k·f_tooth,
// a period doubling at f_tooth/2 + k·f_tooth. Benchmark: Insperger, Stépán, Int. J. Numer. Meth. Engng 61 (2004)
// 117-141 (from memory). The base frequencies at the limit were computed separately by semi-discretization. Everything
// else is invented.
#include <array>
#include <cmath>
#include <numbers>
#include <vector>

#include "listen/listener.hpp"
#include "support/catch.hpp"
#include "support/chance.hpp"

using namespace hushmill;
using listen::ChatterKind;

namespace {

constexpr double kRateHz = 48000;
constexpr double kModeHz = 922;

struct Row {
  double rpm, base_hz, nearest_hz;
  ChatterKind kind;
};
constexpr int kFlutes = 2;
constexpr std::array kRows{
    Row{5000, 57.27, 942.7, ChatterKind::hopf},                // full slot
    Row{7500, 66.12, 933.9, ChatterKind::hopf},                // full slot
    Row{12500, 208.33, 1041.7, ChatterKind::period_doubling},  // full slot
    Row{10000, 166.67, 833.3, ChatterKind::period_doubling},   // half immersion, down
    Row{7500, 125.00, 875.0, ChatterKind::period_doubling},    // a twentieth of the diameter, down
    Row{10000, 69.46, 930.5, ChatterKind::hopf},               // a twentieth of the diameter, up
};

// How strongly the mode answers at a frequency, 1 at its top; 1.1 % damping.
double mode_gain(double hz) {
  const double r = hz / kModeHz;
  return 0.022 / std::hypot(1 - r * r, 0.022 * r);
}

// A second and a half of room, a healthy cut, and from 4 s on a family that grows to twice the cut's strength.
std::vector<float> sound_of(const Row& row) {
  const double tooth_hz = kFlutes * row.rpm / 60;
  struct Tone {
    double hz, amplitude, phase;
    bool chatter;
  };
  test::Chance chance(static_cast<std::uint64_t>(row.rpm + row.base_hz));
  std::vector<Tone> tones;
  for (int k = 1; k * tooth_hz < 6000; ++k)
    tones.push_back({k * tooth_hz, 0.02 / std::sqrt(k), chance.uniform(0, 6.28), false});
  for (int k = 0; k * tooth_hz < 4000; ++k)
    for (const int sign : {-1, 1}) {
      const double hz = k * tooth_hz + sign * row.base_hz;
      if (hz < 60 || (row.kind == ChatterKind::period_doubling && sign < 0)) continue;
      tones.push_back(
          {hz, 0.08 * std::max(0.02, mode_gain(hz) / mode_gain(row.nearest_hz)), chance.uniform(0, 6.28), true});
    }
  std::vector<float> sound(static_cast<std::size_t>(7 * kRateHz));
  for (std::size_t i = 0; i < sound.size(); ++i) {
    const double t = static_cast<double>(i) / kRateHz;
    double x = 0.002 * chance.normal();
    const double cut = std::clamp((t - 1.5) / 0.1, 0.0, 1.0), grown = std::min(1.0, 1e-3 * std::exp(25 * (t - 4)));
    for (const Tone& tone : tones)
      x += (tone.chatter ? (t < 4 ? 0.0 : grown) : cut) * tone.amplitude *
           std::sin(2 * std::numbers::pi * tone.hz * t + tone.phase);
    sound[i] = static_cast<float>(x);
  }
  return sound;
}

}  // namespace

TEST_CASE("chatter of the one-mode benchmark is named by a line of its family and by its kind") {
  for (const Row& row : kRows) {
    INFO(row.rpm << " rev/min, base " << row.base_hz << " Hz");
    listen::Listener listener({kRateHz, row.rpm, kFlutes});
    listener.process(sound_of(row));
    listener.finish();
    const auto& episodes = listener.findings().episodes;
    REQUIRE(episodes.size() == 1);
    CHECK(episodes[0].kind == row.kind);
    CHECK(episodes[0].alert_s > 4.0);
    CHECK(std::abs(episodes[0].chatter_hz - row.nearest_hz) < 0.002 * row.nearest_hz);
  }
}
