// What the tracker says of how a family came up. Rows are invented.
#include "listen/tracker.hpp"

#include <cmath>
#include <vector>

#include "support/catch.hpp"

using namespace hushmill;

namespace {
constexpr double kRowS = 0.0107;

// The track of one family whose level rises by `db_s` from -60 dB until it stands at `top_db`.
listen::Track risen(double db_s, double top_db) {
  listen::Tracker tracker({}, kRowS, 0.125);
  const listen::Comb comb{100, 4, 1e-4, true, true};
  for (int row = 0; row < 12; ++row) {
    listen::FamilyVote vote;
    vote.offset_hz = 87;
    vote.strongest_hz = 887;
    vote.power = std::pow(10.0, 0.1 * std::min(top_db, -60 + db_s * kRowS * row));
    vote.evidence = 1.5;
    vote.evidence_if_loud = 1.5;
    vote.members = 3;
    vote.share = 1;
    const std::vector<listen::FamilyVote> votes{vote};
    tracker.process(votes, comb, 11.7, {1e-5, 1e-5}, 0, row * kRowS);
  }
  return tracker.tracks().empty() ? listen::Track{} : tracker.tracks().front();
}
// The evidence for one steady tone that is `over_db` louder than the teeth, whose power is `teeth`.
double nats_of_tone(const listen::ToothPower& teeth, double over_db, bool rich, double share = 1, double place_nats = 0) {
  listen::Tracker tracker({}, kRowS, 0.125);
  for (int row = 0; row < 40; ++row) {
    listen::FamilyVote vote;
    vote.offset_hz = 87;
    vote.strongest_hz = 887;
    vote.power = vote.strongest_power = std::pow(10.0, 0.1 * over_db) * teeth.held;
    vote.members = vote.own_members = 1;
    vote.share = share;
    vote.rich = rich;
    vote.place_nats = vote.evidence = vote.evidence_if_loud = place_nats;
    const std::vector<listen::FamilyVote> votes{vote};
    tracker.process(votes, {100, 4, 1e-4, true, true}, 11.7, teeth, 0, row * kRowS);
  }
  return tracker.tracks().front().nats;
}
}  // namespace

TEST_CASE("a lone tone with strong harmonics is a voice while the teeth go on, and chatter where it took their power") {
  const double alarm = listen::TrackerSettings{}.alarm_nats;
  CHECK(nats_of_tone({1e-4, 1e-4}, 30, true) < alarm);
  CHECK(nats_of_tone({1e-4, 3e-5}, 30, true) < alarm);
  CHECK(nats_of_tone({1e-4, 1e-6}, 30, true) > alarm);
}

TEST_CASE("a lone tone without strong harmonics needs to outdo the teeth by less where it took their power") {
  const double alarm = listen::TrackerSettings{}.alarm_nats;
  CHECK(nats_of_tone({1e-4, 1e-4}, 10, false) < alarm);
  CHECK(nats_of_tone({1e-4, 1e-6}, 10, false) > alarm);
  // Teeth that another speed has taken elsewhere are new tones, too: no louder than before, and one of many.
  CHECK(nats_of_tone({1e-4, 1e-6}, 5, false) < alarm);
  CHECK(nats_of_tone({1e-4, 1e-6}, 10, false, 0.5) < alarm);
}

TEST_CASE("teeth that seem to get louder with a tone that comes up do not hide it") {
  // The tone is 30 dB over the teeth before it, and what it spills over their places 3 dB under itself.
  const auto nats = [](double settled) {
    listen::Tracker tracker({}, kRowS, 0.125);
    for (int row = 0; row < 30; ++row) {
      listen::FamilyVote vote;
      vote.offset_hz = 87;
      vote.strongest_hz = 887;
      vote.power = vote.strongest_power = 0.1;
      vote.members = vote.own_members = 1;
      vote.share = 1;
      const double spilt = row < 2 ? 1e-4 : 0.05;
      tracker.process(std::vector<listen::FamilyVote>{vote}, {100, 4, 1e-4, true, true}, 11.7, {spilt, spilt, settled}, 0, row * kRowS);
    }
    return tracker.tracks().front().nats;
  };
  CHECK(nats(1e-4) > listen::TrackerSettings{}.alarm_nats);
  CHECK(nats(0) == 0);  // nothing was settled
}

TEST_CASE("a lone tone that stands exactly where period doubling puts it may be weaker than the teeth") {
  const double alarm = listen::TrackerSettings{}.alarm_nats;
  CHECK(nats_of_tone({1e-4, 1e-4}, -2, false) == 0);
  CHECK(nats_of_tone({1e-4, 1e-4}, -2, false, 1, 1.5) > alarm);
}

TEST_CASE("what comes up like a knock is marked abrupt, what grows as chatter mostly does is not") {
  CHECK(risen(700, -30).abrupt);
  CHECK_FALSE(risen(200, -30).abrupt);
  CHECK_FALSE(risen(0, -30).abrupt);
  CHECK(risen(200, -30).rows == 12);
}

TEST_CASE("what still rises is told from what stands by its last two rows") {
  CHECK(std::abs(risen(200, 0).rise_db - 200 * 2 * kRowS) < 0.01);
  CHECK(risen(700, -30).rise_db == 0);
}

namespace {
// A family that speaks for itself, whose strongest line moves by this share of itself a second.
double nats_of_glide(double glide_per_s) {
  listen::Tracker tracker({}, kRowS, 0.125);
  for (int row = 0; row < 30; ++row) {
    listen::FamilyVote vote;
    vote.offset_hz = 87;
    vote.strongest_hz = 887 * (1 + glide_per_s * kRowS * row);
    vote.power = vote.strongest_power = 3e-5;
    vote.evidence = vote.evidence_if_loud = 2;
    vote.members = vote.own_members = 3;
    vote.share = 1;
    tracker.process(std::vector<listen::FamilyVote>{vote}, {100, 4, 1e-4, true, true}, 11.7, {1e-5, 1e-5}, 0, row * kRowS);
  }
  return tracker.tracks().front().nats;
}
}  // namespace

TEST_CASE("a tone that glides as a voice does is not believed, one that drifts as chatter does is") {
  CHECK(nats_of_glide(0) > listen::TrackerSettings{}.alarm_nats);
  CHECK(nats_of_glide(0.08) == nats_of_glide(0));
  CHECK(nats_of_glide(0.4) < listen::TrackerSettings{}.alarm_nats);
}

TEST_CASE("the evidence is dated from the row where it last stood at nothing") {
  listen::Tracker tracker({}, kRowS, 0.125);
  for (int row = 0; row < 40; ++row) {
    listen::FamilyVote vote;
    vote.offset_hz = 87;
    vote.strongest_hz = 887;
    vote.power = vote.strongest_power = 1e-5;
    vote.evidence = vote.evidence_if_loud = row < 25 ? -8 : 3;
    vote.members = vote.own_members = 3;
    vote.share = 1;
    tracker.process(std::vector<listen::FamilyVote>{vote}, {100, 4, 1e-4, true, true}, 11.7, {1e-5, 1e-5}, 0, row * kRowS);
  }
  CHECK(tracker.tracks().front().nats > 0);
  CHECK(tracker.tracks().front().start_s == 25 * kRowS);
}
