#include "listen/family.hpp"

#include <cmath>

#include "support/catch.hpp"

using namespace hushmill;
using listen::NewLine;

namespace {
constexpr double kFamilyBinHz = 13.3;

listen::Comb comb(double rpm, int flutes) { return {rpm / 60, flutes, 1e-4, true}; }

listen::FamilyVote best(std::vector<NewLine> lines, const listen::Comb& c) {
  std::sort(lines.begin(), lines.end(), [](const auto& a, const auto& b) { return a.power > b.power; });
  std::vector<listen::FamilyVote> votes;
  listen::weigh_families(lines, c, kFamilyBinHz, {}, votes);
  return votes.empty() ? listen::FamilyVote{} : votes.front();
}
}  // namespace

TEST_CASE("the chatter family of a computed example is recognised with its kind") {
  // Family of the one-mode benchmark at 5000 rev/min in a full slot, two teeth: ±57.27 + k·166.67 Hz; and of its flip at
  // 12500: 208.33 + k·416.67 Hz. Computed by semi-discretization; family structure: Insperger, Stépán, Bayly, Mann,
  // "Multiple chatter frequencies in milling processes", J. Sound Vib. 262 (2003), from memory.
  const auto hopf = best({{942.7, 1e-2, 30}, {890.6, 3e-3, 25}, {776.0, 1e-3, 20}, {1109.4, 1e-3, 20}}, comb(5000, 2));
  CHECK(hopf.evidence > 3);
  CHECK(hopf.members == 4);
  CHECK_FALSE(hopf.period_doubling);
  CHECK(std::abs(hopf.offset_hz - 57.27) < 1.5);
  CHECK(hopf.strongest_hz == 942.7);
  CHECK(hopf.share > 0.99);

  const auto flip = best({{1041.67, 1e-2, 30}, {625.0, 2e-3, 25}, {1458.3, 1e-3, 20}}, comb(12500, 2));
  CHECK(flip.period_doubling);
  CHECK(flip.evidence > 2);
}

TEST_CASE("a lone line votes neither way") {
  const auto vote = best({{1250, 1e-2, 30}}, comb(6000, 4));
  CHECK(vote.members == 1);
  CHECK(vote.evidence == 0);
}

TEST_CASE("a lone line half way between two tooth multiples speaks for period doubling, one beside it does not") {
  const auto c = comb(6000, 4);  // teeth every 400 Hz
  CHECK(best({{1000, 1e-2, 30}}, c).place_nats > 1.4);
  CHECK(best({{1000, 1e-2, 30}}, c).evidence > 1.4);
  CHECK(best({{1007, 1e-2, 30}}, c).place_nats == 0);
  // Half of what is new, as a knock that rings at several places.
  CHECK(best({{1000, 1e-2, 30}, {1311, 9e-3, 30}}, c).place_nats == 0);

  std::vector<listen::FamilyVote> votes;
  listen::weigh_families(std::vector<NewLine>{{1000, 1e-2, 30}}, c, kFamilyBinHz, {.most_of_place = 6}, votes);
  const double spread_hz = 0.15 * kFamilyBinHz + 1e-4 * 1000;
  CHECK(votes.front().place_nats == test::Approx(std::log(0.75 * 400 / (2.506628 * spread_hz))));
}

TEST_CASE("harmonics of one tone are no family, even where they stand on family places") {
  // 387.2 Hz and its harmonics at a tooth frequency of 81.5 Hz: f and 3f share a place in the tooth spacing.
  const auto pump = best({{387.2, 1e-2, 30}, {774.4, 1e-3, 22}, {1161.6, 5e-4, 18}}, comb(2445, 2));
  CHECK(pump.evidence <= 0.5);
  const auto speech = best({{310, 1e-2, 30}, {465, 8e-3, 30}, {155, 4e-3, 25}, {620, 3e-3, 25}, {775, 2e-3, 22}, {930, 1e-3, 20}},
                           comb(6000, 4));
  CHECK(speech.evidence < 0.5);
}

TEST_CASE("a lone tone with strong harmonics is told from one without") {
  // At 6000 rev/min with 4 flutes twice and three times 517 Hz stand on no place of its family.
  const auto c = comb(6000, 4);
  CHECK(best({{517, 1e-2, 30}, {1034, 5e-3, 28}, {1551, 2e-3, 25}}, c).rich);
  CHECK_FALSE(best({{517, 1e-2, 30}, {1034, 1e-5, 10}, {1551, 1e-5, 10}}, c).rich);
  CHECK_FALSE(best({{517, 1e-2, 30}, {917, 5e-3, 28}, {1317, 2e-3, 25}}, c).rich);  // its family
}

TEST_CASE("lines all over speak against a family") {
  const auto vote = best({{517, 1e-2, 30}, {731, 9e-3, 30}, {1093, 8e-3, 30}, {1371, 8e-3, 30}, {1783, 6e-3, 30}}, comb(6000, 4));
  CHECK(vote.evidence < 0);
}

TEST_CASE("loud chatter may have harmonics, if lines beside them beat with the teeth") {
  // Four flutes at 13650 rev/min, tooth frequency 910 Hz; chatter at 630 Hz with a half, 315 Hz, and mixtures of both with
  // the teeth, as saturated chatter has them (levels as in a simulated slot; invented).
  const auto c = comb(13650, 4);
  const std::vector<NewLine> chatter{{630, 1.4e-1, 43}, {315, 1.2e-1, 43}, {1260, 1.7e-2, 33}, {1540, 4.6e-3, 27}, {1225, 2.6e-3, 24}, {945, 1.6e-3, 22}, {595, 2.3e-4, 13}};
  CHECK(best(chatter, c).evidence < 1);
  std::vector<listen::FamilyVote> votes;
  listen::weigh_families(chatter, c, kFamilyBinHz, {}, votes);
  const auto loud = std::max_element(votes.begin(), votes.end(), [](const auto& a, const auto& b) { return a.evidence_if_loud < b.evidence_if_loud; });
  CHECK(loud->evidence_if_loud > 2);
  // The same tone and harmonics alone, as a horn makes them: nothing beats with the teeth.
  listen::weigh_families(std::vector<NewLine>(chatter.begin(), chatter.begin() + 3), c, kFamilyBinHz, {}, votes);
  for (const auto& vote : votes) CHECK(vote.evidence_if_loud <= 0);
}

TEST_CASE("a note that sounds along is no member, though its harmonics stand on family places") {
  // A note of 219 Hz and another of 392 Hz with its harmonics, at three flutes and 6101 rev/min (305 Hz): 219, 392, 2352 and
  // 3136 Hz all fold to about 86 Hz. From a sound of the additive corpus (invented).
  const auto c = comb(6101, 3);
  const std::vector<NewLine> notes{{219.2, 6e-4, 15}, {391.9, 1.3e-4, 16}, {784.2, 5e-5, 14}, {1176, 2.5e-5, 17}, {1568, 1e-5, 18}, {1960, 4e-6, 19}, {2352, 2e-6, 19}, {3136, 4e-7, 15}};
  CHECK(best(notes, c).evidence < 1);
  std::vector<listen::FamilyVote> votes;
  listen::weigh_families(notes, c, kFamilyBinHz, {}, votes);
  const auto of_392 = std::find_if(votes.begin(), votes.end(), [](const auto& vote) { return std::abs(vote.strongest_hz - 391.9) < 1; });
  if (of_392 != votes.end()) CHECK(of_392->own_members <= 2);
}

TEST_CASE("a series with gaps is no voice: harmonics that stand between plain ones and are missing speak for the family") {
  // Places at 4 of 11 parts of the tooth spacing, and of twice and three times the tone: all are multiples of an eleventh of it.
  const auto c = comb(13247, 4);
  const double part = c.tooth_hz() / 11;
  const auto at = [&](double parts, double power) { return NewLine{parts * part, power, 30}; };
  const auto gaps = best({at(4, 1e-2), at(7, 5e-3), at(15, 2e-3), at(18, 1e-3), at(26, 1e-3)}, c);
  CHECK(gaps.evidence > 3);
  CHECK(gaps.members == 5);

  std::vector<NewLine> all;
  for (int n = 3; n <= 19; ++n)
    if (n % 11 != 0) all.push_back(at(n, n == 4 ? 1e-2 : 2e-3));
  CHECK(best(all, c).evidence <= 0);
}

TEST_CASE("a family at a third of the tooth spacing says that a voice may stand there too") {
  const auto c = comb(8700, 2);
  const double third = c.tooth_hz() / 3;
  const auto vote = best({{4 * third, 1e-2, 20}, {5 * third, 5e-3, 20}, {7 * third, 5e-3, 20}, {8 * third, 5e-3, 20}}, c);
  CHECK(vote.evidence > 3);
  CHECK(vote.ambiguous_nats > 2);
  const auto elsewhere = best({{942.7, 1e-2, 30}, {890.6, 3e-3, 25}, {776.0, 1e-3, 20}, {1109.4, 1e-3, 20}}, comb(5000, 2));
  CHECK(elsewhere.ambiguous_nats == 0);
}

TEST_CASE("so does one at a half or a fifth of it") {
  const auto c = comb(6000, 4);  // teeth every 400 Hz
  // A voice at half of it: every second harmonic hides behind a tooth.
  CHECK(best({{600, 1e-2, 20}, {1000, 8e-3, 20}, {1400, 5e-3, 20}, {200, 5e-3, 20}}, c).ambiguous_nats > 2);
  CHECK(best({{560, 1e-2, 20}, {640, 8e-3, 20}, {480, 8e-3, 20}, {720, 5e-3, 20}, {880, 5e-3, 20}}, c).ambiguous_nats > 2);
  CHECK(best({{687, 1e-2, 20}, {1087, 8e-3, 20}, {1487, 5e-3, 20}, {287, 5e-3, 20}}, c).ambiguous_nats == 0);
}
