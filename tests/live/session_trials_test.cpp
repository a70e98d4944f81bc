#include "live/session_trials.hpp"

#include "support/catch.hpp"

using namespace hushmill;

namespace {

listen::Episode chatter(double start_s, double end_s, double hz) {
  listen::Episode episode;
  episode.start_s = start_s;
  episode.alert_s = start_s + 0.2;
  episode.end_s = end_s;
  episode.open = false;
  episode.chatter_hz = hz;
  return episode;
}

listen::SpeedStretch stretch(double from_s, double to_s, double entered_rpm, std::optional<double> measured_rpm = {}) {
  return {from_s, to_s, entered_rpm, measured_rpm ? measured_rpm : entered_rpm, {}};
}

}  // namespace

TEST_CASE("each speed that told something is a trial, but for the one asked about") {
  listen::Findings findings;
  findings.cuts = {{0, 30}};
  findings.stretches = {stretch(0, 8, 6000, 5970), stretch(8, 16, 5400), stretch(16, 18, 5000), stretch(18, 18, 6600)};
  findings.episodes = {chatter(2, 8.5, 1250), chatter(18.5, 20, 900)};
  const auto trials = live::trials_from(findings, 0, 6600);
  REQUIRE(trials.size() == 2);
  CHECK(trials[0].spindle_rpm == 6000);
  CHECK(trials[0].outcome == advise::Outcome::chattered);
  REQUIRE(trials[0].chatter_hz);
  CHECK_THAT(*trials[0].chatter_hz, test::WithinRel(1250.0 * 6000 / 5970, 1e-12));  // seen at the entered speed
  CHECK(trials[1].spindle_rpm == 5400);
  CHECK(trials[1].outcome == advise::Outcome::held);
  CHECK_FALSE(trials[1].chatter_hz);
}

TEST_CASE("chatter that came back at a speed is told as such, and the set-up before is forgotten") {
  listen::Findings findings;
  findings.cuts = {{0, 40}};
  findings.stretches = {stretch(0, 20, 6000), stretch(20, 30, 5400)};
  findings.episodes = {chatter(2, 4, 1250), chatter(10, 12, 1240), chatter(21.5, 29, 1100)};
  auto trials = live::trials_from(findings, 0, 7000);
  REQUIRE(trials.size() == 2);
  CHECK(trials[0].outcome == advise::Outcome::returned);
  CHECK(trials[1].outcome == advise::Outcome::chattered);
  trials = live::trials_from(findings, 21, 7000);
  REQUIRE(trials.size() == 1);
  CHECK(trials[0].spindle_rpm == 5400);
}

TEST_CASE("a speed that was not heard is no proof, however quiet it was") {
  listen::Findings findings;
  findings.cuts = {{0, 30}};
  findings.stretches = {stretch(0, 8, 6000), stretch(8, 16, 5400), stretch(16, 24, 5000)};
  findings.stretches[1].measured_rpm.reset();
  findings.stretches[2].measured_rpm = 5190;
  findings.episodes = {chatter(2, 8.5, 1250)};
  CHECK(live::trials_from(findings, 0, 6000).empty());
}

TEST_CASE("too little quiet cut is no proof, and nothing heard is no trial") {
  listen::Findings findings;
  CHECK(live::trials_from(findings, 0, 6000).empty());
  findings.cuts = {{0, 2.5}};
  findings.stretches = {stretch(0, 10, 5400)};
  CHECK(live::trials_from(findings, 0, 6000).empty());  // no change before it, so no settling: 2.5 s
}
