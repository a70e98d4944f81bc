#include "listen/chatter_lattice.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

#include "support/catch.hpp"
#include "support/made_line.hpp"

using namespace hushmill;
using listen::ChatterLattice;
using listen::Comb;

namespace {

constexpr double kLatticeBinHz = 4;

signal::Line loud_line(double hz, double over_db) { return test::made_line(hz, over_db - 80, over_db); }

/// Entered and once measured: 8640 rev/min, six flutes, so teeth every 864 Hz.
Comb comb_before() { return {144, 6, 0.0005, true, true}; }

/// A tone at 1013 Hz, its multiples, and what they make with teeth every `tooth_hz`.
std::vector<signal::Line> loud_chatter(double tooth_hz) {
  std::vector<signal::Line> lines;
  for (int k = 1; k <= 6; ++k) lines.push_back(loud_line(1013.0 * k, 46 - 4 * k));
  for (const auto& [a, b, db] : {std::tuple{4, -1, 26.0}, {5, 1, 24.0}, {2, 1, 22.0}, {4, 1, 21.0}, {6, 1, 20.0}, {3, 1, 20.0}, {3, -1, 20.0}, {5, -1, 20.0}})
    lines.push_back(loud_line(1013.0 * a + tooth_hz * b, db));
  std::sort(lines.begin(), lines.end(), [](const auto& a, const auto& b) { return a.power > b.power; });
  return lines;
}

std::optional<double> found_within(const std::vector<signal::Line>& lines, int rows, const Comb& comb = comb_before(),
                                   const listen::LatticeTerms& terms = listen::kLatticeInCut) {
  ChatterLattice lattice;
  for (int i = 0; i < rows; ++i)
    if (const auto factor = lattice.process(lines, kLatticeBinHz, comb, terms)) return factor;
  return std::nullopt;
}

/// A tone at 1013 Hz and the three places of its family next to it, all that is heard of a faint cut with teeth every `tooth_hz`.
std::vector<signal::Line> faint_chatter(double tooth_hz) {
  return {loud_line(1013, 20), loud_line(1013 + tooth_hz, 13), loud_line(2 * tooth_hz - 1013, 12), loud_line(3 * tooth_hz - 1013, 11)};
}

}  // namespace

TEST_CASE("a spindle that sags under chatter by more than the comb grants is found by what the chatter makes with the teeth") {
  for (const double factor : {0.98, 0.99, 1.012}) {
    INFO(factor);
    const auto found = found_within(loud_chatter(864 * factor), 10);
    REQUIRE(found);
    CHECK(std::abs(*found - factor) < 0.0006);
  }
  CHECK_FALSE(found_within(loud_chatter(864 * 0.98), 2));
  CHECK_FALSE(found_within(loud_chatter(864), 10));         // the comb is right
  CHECK_FALSE(found_within(loud_chatter(864 * 0.95), 10));  // no spindle sags by that much
}

TEST_CASE("the same where nothing was measured yet") {
  const auto found = found_within(loud_chatter(864 * 1.012), 10, {144, 6, 0.01, false, false});
  REQUIRE(found);
  CHECK(std::abs(*found - 1.012) < 0.0006);
}

TEST_CASE("a comb that has its teeth is not moved, whatever sings beside it") {
  const auto beside_teeth = [](int teeth) {
    auto lines = loud_chatter(864 * 0.98);
    for (int k = 1; k <= teeth; ++k) lines.push_back(loud_line(864.0 * k, 25));
    std::sort(lines.begin(), lines.end(), [](const auto& a, const auto& b) { return a.power > b.power; });
    return found_within(lines, 10);
  };
  CHECK(beside_teeth(1));  // one line is chance
  CHECK_FALSE(beside_teeth(2));
  CHECK_FALSE(beside_teeth(3));
}

TEST_CASE("where no cut is heard, three lines that stand tooth spacings from a tone tell of one, and take longer to") {
  const Comb unmeasured{144, 6, 0.01, false, false};
  const auto& terms = listen::kLatticeUnheardCut;
  for (const double factor : {0.984, 0.99, 0.996}) {
    INFO(factor);
    const auto found = found_within(faint_chatter(864 * factor), 10, unmeasured, terms);
    REQUIRE(found);
    CHECK(std::abs(*found - factor) < 0.0008);
    CHECK_FALSE(found_within(faint_chatter(864 * factor), terms.looks - 1, unmeasured, terms));
    CHECK_FALSE(found_within(faint_chatter(864 * factor), 10, unmeasured));  // too little in a cut, where teeth are expected
  }
  auto voice = faint_chatter(864);
  for (std::size_t i = 0; i < voice.size(); ++i) voice[i].hz = 253.25 * static_cast<double>(i + 4);
  CHECK_FALSE(found_within(voice, 10, unmeasured, terms));

  ChatterLattice lattice;
  for (int i = 1; i <= 4; ++i) {
    CHECK_FALSE(lattice.process(faint_chatter(864), kLatticeBinHz, comb_before(), terms));
    CHECK(lattice.explained() == i);
  }
  lattice.process({}, kLatticeBinHz, comb_before(), terms);
  CHECK(lattice.explained() == 0);
}

TEST_CASE("what a voice, the mains, runout and teeth elsewhere explain is no lattice") {
  const Comb unmeasured{144, 6, 0.01, false, false};
  for (const double base_hz : {864 * 1.01 / 4, 864 * 0.99 / 5, 50.0, 60.0, 864 / 6.0 * 1.013, 864 * 1.017}) {
    std::vector<signal::Line> lines;
    for (int k = 1; k <= 28; ++k) lines.push_back(loud_line(base_hz * k, 40 - k + 6 * (k % 3)));
    std::sort(lines.begin(), lines.end(), [](const auto& a, const auto& b) { return a.power > b.power; });
    INFO(base_hz);
    CHECK_FALSE(found_within(lines, 10, unmeasured));
  }
}
