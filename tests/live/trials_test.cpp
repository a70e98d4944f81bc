// The live instrument's trials: the same as a review's for the same samples, and what the person's keys do to them.
#include <algorithm>
#include <cstdint>
#include <memory>
#include <sstream>

#include "listen/listener.hpp"
#include "live/heard_card.hpp"
#include "live/listening.hpp"
#include "live/scripted_source.hpp"
#include "rig/rig_settings.hpp"
#include "support/catch.hpp"
#include "trial/trial_book.hpp"

using namespace hushmill;
using live::Listening;
using live::State;
using std::chrono::milliseconds;
using test::WithinAbs;
using trial::Outcome;

namespace {

constexpr double kTrialsRateHz = 48000;

/// Simulated sound: two seconds of air, then the wall; `depth_mm` from `deeper_at_s` on, `rpm` from 6 s on.
std::vector<float> wall_sound(double depth_mm, double rpm, double for_s, std::uint64_t seed = 1, double deeper_at_s = 3.5) {
  rig::RigSettings settings = rig::bracket_wall();
  rig::RigControls controls = settings.start;
  settings.start.in_cut = false;
  settings.seed = seed;
  rig::Rig machine(settings);
  std::vector<float> sound(static_cast<std::size_t>(for_s * kTrialsRateHz));
  std::size_t done = 0;
  const auto until = [&](double t_s) {
    const auto end = std::min(sound.size(), static_cast<std::size_t>(t_s * kTrialsRateHz));
    machine.process(std::span(sound).subspan(done, end - done));
    done = end;
  };
  until(2);
  machine.turn(controls);
  until(deeper_at_s);
  controls.depth_mm = depth_mm;
  machine.turn(controls);
  until(6);
  controls.spindle_rpm = rpm;
  machine.turn(controls);
  until(for_s);
  return sound;
}

struct TrialBench {
  explicit TrialBench(double programmed_rpm) {
    live::LiveSettings settings;
    settings.card.programmed_rpm = programmed_rpm;
    settings.card.flutes = 4;
    settings.kind = live::SourceKind::microphone;
    listening = std::make_unique<Listening>(settings, std::make_unique<test::ScriptedSource>(script, kTrialsRateHz), now);
  }
  /// Hears the first `t_s` seconds of `sound` and no more.
  void hear(const std::vector<float>& sound, double t_s) {
    script.sound.assign(sound.begin(), sound.begin() + static_cast<std::ptrdiff_t>(std::min(sound.size(), static_cast<std::size_t>(t_s * kTrialsRateHz))));
    while (script.at < script.sound.size()) {
      now += milliseconds(5);
      listening->step(now);
    }
  }
  void override_to(double percent) {
    live::CutCard card = state().card;
    card.override_percent = percent;
    listening->apply(live::ChangeCard{card});
  }
  State state() {
    State filled;
    listening->fill(filled, true);
    return filled;
  }

  test::Script script;
  Listening::Time now{};
  std::unique_ptr<Listening> listening;
};

std::string written(const trial::Trial& t) {
  std::ostringstream text;
  text.precision(17);
  text << t.from_s << ' ' << t.to_s << ' ' << t.spindle_rpm << ' ' << trial::word(t.outcome) << ' ' << t.quiet_s << ' ' << t.cut_s << ' ' << t.chatter_s
       << ' ' << t.chatter_hz << ' ' << t.measured_rpm.value_or(0) << ' ' << t.judged_from_s;
  for (const auto& r : t.returns) text << " back " << r.at_s << ' ' << r.for_s << ' ' << r.chatter_hz << ' ' << r.after_quiet_s;
  for (const auto* levels : {&t.quiet, &t.chatter})
    if (*levels) text << " levels " << (*levels)->over_s << ' ' << (*levels)->tone_hz << ' ' << (*levels)->tone_dbfs << ' ' << (*levels)->family_dbfs << ' ' << (*levels)->share << ' ' << (*levels)->total_dbfs;
  if (t.compared) text << " compared " << t.compared->trial << ' ' << t.compared->before.tone_dbfs << ' ' << t.compared->after.tone_dbfs;
  return text.str();
}

}  // namespace

TEST_CASE("live, the trials are those of a review of the same samples, to the last digit") {
  const auto sound = wall_sound(3.0, 6000, 12);
  // The review's way: listener and book, the change at its sample.
  listen::Listener listener({kTrialsRateHz, 6800, 4});
  trial::TrialBook book{trial::Rules{}};
  for (std::size_t at = 0; at < sound.size(); at += 160) {
    if (at == static_cast<std::size_t>(6 * kTrialsRateHz)) listener.set_spindle_rpm(6800 * (100 * 6000.0 / 6800) / 100.0);
    listener.process(std::span(sound).subspan(at, std::min<std::size_t>(160, sound.size() - at)));
    book.process(listener.snapshot(), listener.findings());
  }
  const auto reviewed = book.trials(listener.findings());
  REQUIRE(reviewed.size() == 2);
  CHECK(reviewed[0].outcome == Outcome::chattered);
  CHECK(reviewed[1].outcome == Outcome::held);

  TrialBench bench(6800);
  bench.hear(sound, 6);
  bench.override_to(100 * 6000.0 / 6800);
  bench.hear(sound, 8);
  bench.listening->apply(live::MarkPass{});
  bench.hear(sound, 10);
  bench.listening->apply(live::MarkPass{});
  bench.hear(sound, 12);
  const auto heard = bench.state().trials;
  REQUIRE(heard.size() == 2);
  for (std::size_t i = 0; i < 2; ++i) CHECK(written(heard[i]) == written(reviewed[i]));
  CHECK(heard[1].passes == 1);
}

TEST_CASE("chatter that goes on over a change of speed is shown, and kept in the trials, with each speed's tone") {
  const auto sound = wall_sound(3.0, 7480, 11);
  TrialBench bench(6800);
  bench.hear(sound, 6);
  const State before = bench.state();
  REQUIRE(before.snapshot.chatter);
  bench.override_to(110);
  bench.hear(sound, 11);
  const State after = bench.state();
  REQUIRE(after.snapshot.chatter);
  REQUIRE(after.trials.size() == 2);
  // The loudest line of the last second's spectrum, off the teeth, says the same.
  double loudest_hz = 0, loudest_db = -300;
  for (const auto& peak : after.snapshot.peaks)
    if (peak.role == listen::PeakRole::chatter && peak.dbfs > loudest_db) loudest_hz = peak.hz, loudest_db = peak.dbfs;
  CHECK_THAT(after.snapshot.chatter->chatter_hz, WithinAbs(loudest_hz, 3));
  CHECK(std::abs(after.snapshot.chatter->chatter_hz - before.snapshot.chatter->chatter_hz) > 20);
  CHECK_THAT(after.trials[0].chatter_hz, WithinAbs(before.snapshot.chatter->chatter_hz, 2));
  CHECK_THAT(after.trials[1].chatter_hz, WithinAbs(after.snapshot.chatter->chatter_hz, 1e-9));
}

TEST_CASE("live, quiet is quiet so far until the hold is met and a whole lap was marked") {
  const auto sound = wall_sound(3.0, 6000, 12.5);
  TrialBench bench(6800);
  bench.hear(sound, 6);
  bench.override_to(100 * 6000.0 / 6800);
  bench.hear(sound, 6.5);
  CHECK(bench.state().trials.back().judged_from_s == bench.state().trials.back().to_s);  // settling
  bench.hear(sound, 11);
  auto now = bench.state().trials.back();
  CHECK(now.running);
  CHECK(now.quiet_s > 3.5);
  CHECK(now.outcome == Outcome::not_enough);
  CHECK(now.pass_needed);
  bench.listening->apply(live::MarkPass{});
  CHECK(bench.state().marked_s);
  bench.hear(sound, 12.5);
  bench.listening->apply(live::MarkPass{});
  now = bench.state().trials.back();
  CHECK(now.passes == 1);
  CHECK(now.outcome == Outcome::held);
}

TEST_CASE("a changed cut begins a trial of its own, and the place that is cut is kept with the time") {
  const auto sound = wall_sound(1.2, 6800, 10);
  TrialBench bench(6800);
  bench.hear(sound, 4);
  bench.listening->apply(live::TagPlace{trial::Place::wall});
  bench.hear(sound, 6);
  auto card = bench.state().card;
  card.depth_mm = 2;
  bench.listening->apply(live::ChangeCard{card});
  bench.hear(sound, 10);
  const auto state = bench.state();
  REQUIRE(state.trials.size() == 2);
  CHECK(state.trials[0].set_up != state.trials[1].set_up);
  CHECK(state.place == trial::Place::wall);
  REQUIRE(state.trials[0].places.size() == 1);
  CHECK_THAT(state.trials[0].places[0].quiet_s, WithinAbs(2, 0.1));
}

TEST_CASE("a wrongly entered speed gets no advice, and one key takes what is heard, from when it was heard") {
  const auto sound = wall_sound(3.0, 6800, 8, 2, 4);
  TrialBench bench(6120);
  bench.hear(sound, 7);
  State state = bench.state();
  REQUIRE(state.other_fit);
  CHECK_THAT(state.other_fit->spindle_rpm, WithinAbs(6800, 40));
  CHECK_FALSE(state.trials.back().believed());
  CHECK_FALSE(state.advice.lower);
  CHECK_FALSE(state.advice.higher);
  CHECK_THAT(state.advice.reason, test::Contains("enter what is right first"));
  bench.listening->apply(live::TakeHeard{});
  state = bench.state();
  CHECK(state.card.programmed_rpm == 6120);
  CHECK_THAT(state.card.entered_rpm(), WithinAbs(6800, 40));
  bench.hear(sound, 8);
  state = bench.state();
  REQUIRE(state.trials.size() == 2);
  CHECK_THAT(state.trials[1].spindle_rpm, WithinAbs(6800, 40));
  CHECK(state.trials[1].from_s > 2);
  CHECK(state.trials[1].from_s < 6.9);  // when the sound first said so, not when the key was pressed
  CHECK(state.trials[0].believed());
}

TEST_CASE("the card as heard keeps the program and finds the step of the knob") {
  live::CutCard card;
  card.programmed_rpm = 6800;
  CHECK(live::card_as_heard(card, {6105, 4}).override_percent == 90);
  CHECK(live::card_as_heard(card, {6105, 4}).programmed_rpm == 6800);
  CHECK_THAT(live::card_as_heard(card, {6460, 4}).override_percent, WithinAbs(95, 1e-9));  // no step of 10 %
  CHECK(live::card_as_heard(card, {6800, 3}).flutes == 3);
}

TEST_CASE("a knob that was turned without a word after chatter is noticed, and one key takes the heard speed") {
  TrialBench bench(6800);
  const auto sound = wall_sound(3, 6120, 16);
  bench.hear(sound, 11);
  State state = bench.state();
  REQUIRE(state.other_fit);
  CHECK_THAT(state.other_fit->spindle_rpm, WithinAbs(6117, 10));
  CHECK(state.advice.reason.find("not what was entered") != std::string::npos);  // no way is advised meanwhile
  CHECK_FALSE(state.advice.lower);
  bench.listening->apply(live::TakeHeard{});
  bench.hear(sound, 16);
  state = bench.state();
  CHECK_FALSE(state.other_fit);
  REQUIRE(state.trials.size() == 2);
  CHECK(state.trials[0].outcome == Outcome::chattered);
  CHECK_THAT(state.trials[1].spindle_rpm, WithinAbs(6120, 1e-9));  // the step of the knob
  CHECK(state.trials[1].from_s < 11);
  CHECK(state.trials[1].speed_heard);
  CHECK(state.trials[1].quiet_s > 3);
}
