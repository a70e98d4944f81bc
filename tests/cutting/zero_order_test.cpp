#include "cutting/zero_order.hpp"

#include <cmath>

#include "benchmark_model.hpp"
#include "cutting/directional.hpp"
#include "cutting/frequency_response.hpp"
#include "cutting/semi_discretization.hpp"
#include "support/catch.hpp"

using namespace hushmill;
using cutting::kPi;
using cutting::Milling;
using cutting::ZeroOrder;
using test::WithinAbs;
using test::WithinRel;

namespace {

/// The two-mode example of Y. Altintas, E. Budak, Annals of the CIRP 44/1 (1995) 357-362 and ASME J. Dyn. Syst. Meas.
/// Control 120 (1998) 22-36, Part II (data from memory, medium confidence).
cutting::CutModel two_mode_model() {
  return {.cutter = {.flutes = 4, .diameter_mm = 20, .helix_deg = 0, .pitch_deg = {}, .runout_um = {}},
          .force = {.tangential_n_mm2 = 600,
                    .radial_n_mm2 = 42,
                    .tangential_edge_n_mm = 0,
                    .radial_edge_n_mm = 0,
                    .process_damping_n_m = 0},
          .structure = {.tool_x = {{603, 0.039, 5.6e6}}, .tool_y = {{666, 0.035, 5.7e6}}, .part_x = {}, .part_y = {}}};
}

}  // namespace

TEST_CASE("Directional factors of the full slot are exact") {
  const cutting::DirectionalFactors a = cutting::directional_factors(1.0 / 3.0, {0, kPi});  // derived
  CHECK_THAT(a.xx, WithinAbs(-kPi / 3, 1e-12));
  CHECK_THAT(a.yy, WithinAbs(-kPi / 3, 1e-12));
  CHECK_THAT(a.xy, WithinAbs(-kPi, 1e-12));
  CHECK_THAT(a.yx, WithinAbs(kPi, 1e-12));
  const cutting::DirectionalFactors half = cutting::directional_factors(0.07, {0, kPi / 2});  // computed
  CHECK_THAT(half.xx, WithinAbs(-1.10996, 1e-5));
  CHECK_THAT(half.xy, WithinAbs(-1.64080, 1e-5));
  CHECK_THAT(half.yx, WithinAbs(1.50080, 1e-5));
  CHECK_THAT(half.yy, WithinAbs(0.89004, 1e-5));
}

TEST_CASE("The averaged factors are the integrals that semi-discretization uses") {
  // Derived: α = (2/Kt) ∫ over the arc of dF/du per depth, two pieces of code for one piece of algebra.
  const cutting::CuttingForce force{.tangential_n_mm2 = 850, .radial_n_mm2 = 310};
  for (const double fraction : {0.05, 0.3, 0.5, 0.8, 1.0}) {
    for (const Milling milling : {Milling::climb, Milling::conventional}) {
      const cutting::Arc arc = cutting::engaged_arc(fraction, milling);
      const cutting::DirectionalFactors a = cutting::directional_factors(310.0 / 850.0, arc);
      const cutting::Matrix2 b = cutting::stiffness_n_m2(force, cutting::integral_in_arc(-0.5, 2 * kPi - 0.5, arc));
      CHECK_THAT(2 * b.xx / 850e6, WithinAbs(a.xx, 1e-12));
      CHECK_THAT(2 * b.xy / 850e6, WithinAbs(a.xy, 1e-12));
      CHECK_THAT(2 * b.yx / 850e6, WithinAbs(a.yx, 1e-12));
      CHECK_THAT(2 * b.yy / 850e6, WithinAbs(a.yy, 1e-12));
    }
  }
}

TEST_CASE("One mode: the lowest limit is the closed form 2kζ(1 ± ζ)/h0") {
  // Derived: h0 = (N/2π)·[Kt sin²φ/2 + Kr(φ/2 − sin2φ/4)] over the arc. The digits are computed from it separately.
  const struct {
    double radial_fraction;
    Milling milling;
    double depth_mm;
  } rows[] = {{1, Milling::climb, 0.29805},   {0.5, Milling::conventional, 0.20486},
              {0.5, Milling::climb, 0.64091}, {0.1, Milling::conventional, 0.75301},
              {0.1, Milling::climb, 0.99944}, {0.05, Milling::conventional, 1.48930},
              {0.05, Milling::climb, 1.79158}};
  for (const auto& row : rows) {
    const ZeroOrder chart(test::benchmark_model(), 10 * row.radial_fraction, row.milling);
    CHECK_THAT(chart.lowest().depth_mm, WithinRel(row.depth_mm, 2e-4));
  }
}

TEST_CASE("One mode: limits and frequencies at two speeds") {
  // Computed from the closed form; not published.
  const struct {
    double radial_fraction;
    Milling milling;
    double at_5000_mm, at_5000_hz, at_10000_mm, at_10000_hz;
  } rows[] = {{1, Milling::climb, 0.3699, 941.90, 0.3069, 929.91},
              {0.5, Milling::conventional, 0.2543, 941.90, 0.2109, 929.91},
              {0.5, Milling::climb, 0.9218, 896.70, 3.0182, 823.10},
              {0.1, Milling::conventional, 0.9346, 941.90, 0.7752, 929.91},
              {0.1, Milling::climb, 1.4375, 896.70, 4.7066, 823.10},
              {0.05, Milling::climb, 2.5769, 896.70, 8.4369, 823.10}};
  for (const auto& row : rows) {
    const ZeroOrder chart(test::benchmark_model(), 10 * row.radial_fraction, row.milling);
    const cutting::StabilityLimit slow = chart.limit(5000, 20);
    const cutting::StabilityLimit fast = chart.limit(10000, 20);
    CHECK_THAT(slow.depth_mm, WithinRel(row.at_5000_mm, 1e-3));
    CHECK_THAT(slow.chatter_hz, WithinAbs(row.at_5000_hz, 0.05));
    CHECK_THAT(fast.depth_mm, WithinRel(row.at_10000_mm, 1e-3));
    CHECK_THAT(fast.chatter_hz, WithinAbs(row.at_10000_hz, 0.05));
  }
}

TEST_CASE("Two modes: the lowest limit, its frequency and the speeds of its lobes") {
  const ZeroOrder half(two_mode_model(), 10, Milling::conventional);  // computed from the inputs; not published
  const cutting::LowestLimit lowest = half.lowest();
  CHECK_THAT(lowest.depth_mm, WithinAbs(0.8148, 2e-4));
  CHECK_THAT(lowest.chatter_hz, WithinAbs(633.0, 0.3));
  const double speeds[] = {18253.8, 6246.0, 3767.6, 2697.3};
  for (int k = 0; k < 4; ++k) {
    const double waves = 60.0 * lowest.chatter_hz / (4 * lowest.spindle_rpm);  // lobe 0
    CHECK_THAT(60.0 * lowest.chatter_hz / (4 * (k + waves)), WithinRel(speeds[k], 2e-3));
  }
  const ZeroOrder slot(two_mode_model(), 20, Milling::climb);
  CHECK_THAT(slot.lowest().depth_mm, WithinAbs(0.5829, 2e-4));
  CHECK_THAT(slot.lowest().chatter_hz, WithinAbs(626.1, 0.3));
}

TEST_CASE("The real part of one mode's response has its extremes where algebra puts them") {
  // Derived: min Re G = −1/(4kζ(1+ζ)) at r² = 1 + 2ζ, max Re G = 1/(4kζ(1−ζ)) at r² = 1 − 2ζ.
  const std::vector<cutting::Mode> mode{{500, 0.05, 1e7}};
  CHECK_THAT(cutting::response_m_n(mode, 500 * std::sqrt(1.1)).real(), WithinRel(-4.761905e-7, 1e-6));
  CHECK_THAT(cutting::response_m_n(mode, 500 * std::sqrt(0.9)).real(), WithinRel(5.263158e-7, 1e-6));
  double least = 0;
  for (double hz = 400; hz < 700; hz += 0.1) least = std::min(least, cutting::response_m_n(mode, hz).real());
  CHECK_THAT(least, WithinRel(-4.761905e-7, 1e-6));
  // Turning form (J. Tlusty, from memory; the algebra derived): b = −1/(2 Ks min Re G) = 2kζ(1+ζ)/Ks.
  CHECK_THAT(-1.0 / (2.0 * 2000e6 * least) * 1e3, WithinRel(0.525, 1e-6));
}

TEST_CASE("Zero order agrees with semi-discretization in the slot and misses period doubling at low engagement") {
  const cutting::CutModel two = two_mode_model();
  const ZeroOrder chart(two, 20, Milling::climb);
  const cutting::SemiDiscretization exact(two, 20, Milling::climb);
  for (const double rpm : {3000.0, 3400.0, 4200.0, 5000.0, 6200.0, 8000.0, 14000.0}) {
    INFO(rpm << " rpm");
    CHECK_THAT(chart.limit(rpm, 20).depth_mm, WithinRel(exact.limit(rpm, 20, 0.1).depth_mm, 0.05));
  }
  // S.D. Merdol, Y. Altintas, "Multi frequency solution of chatter stability for low immersion milling", ASME J. Manuf.
  // Sci. Eng. 126 (2004) 459-466 (title seen): the averaged method misses the added lobe. Depths computed.
  const cutting::CutModel one = test::benchmark_model();
  const cutting::StabilityLimit averaged = ZeroOrder(one, 0.5, Milling::climb).limit(10000, 20);
  const cutting::StabilityLimit true_limit =
      cutting::SemiDiscretization(one, 0.5, Milling::climb).limit(10000, 20, 0.2);
  CHECK_THAT(averaged.depth_mm, WithinRel(8.44, 0.002));
  CHECK_THAT(true_limit.depth_mm, WithinRel(4.09, 0.005));
  CHECK(true_limit.kind == cutting::ChatterKind::period_doubling);
}

TEST_CASE("Best speeds are near 60·f/(N·k)") {
  // T.L. Schmitz, K.S. Smith, "Machining Dynamics", Springer 2009 (from memory): the stable pockets. Limits computed.
  const cutting::SemiDiscretization slot(test::benchmark_model(), 10, Milling::climb);
  const double at_pocket = slot.limit(9000, 5, 0.05).depth_mm;  // 60·922/(2·3) = 9220, the pocket lies just below
  CHECK(at_pocket > 8 * slot.limit(7500, 5, 0.05).depth_mm);
  CHECK(at_pocket > 8 * slot.limit(10000, 5, 0.05).depth_mm);
}
