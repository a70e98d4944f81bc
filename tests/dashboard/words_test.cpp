// What the screen says in words: the verdict, the advice, the moves at the knob, warnings.
#include <algorithm>

#include "dashboard/advice_view.hpp"
#include "dashboard/ladder_view.hpp"
#include "dashboard/microphone_view.hpp"
#include "dashboard/trials_view.hpp"
#include "dashboard/verdict_view.hpp"
#include "made_state.hpp"
#include "plain.hpp"
#include "support/catch.hpp"

using namespace hushmill;
using namespace hushmill::dashboard;
using hushmill::test::Made;
using hushmill::test::made_state;
using hushmill::test::plain;
using hushmill::test::session_of;

namespace {

VerdictView verdict_of(const live::State& state) {
  const Session session = session_of({state});
  return prepare_verdict(state, session, prepare_advice(state, session));
}

advise::Candidate candidate_at(double rpm, double programmed_rpm, double knob_percent) {
  advise::Candidate candidate;
  candidate.spindle_rpm = rpm;
  candidate.override_percent = 100 * rpm / programmed_rpm;
  candidate.knob_percent = knob_percent;
  return candidate;
}

}  // namespace

TEST_CASE("each verdict has its own word, shape and meaning") {
  const struct {
    Made what;
    const char* word;
    Shape shape;
    Tone tone;
  } expected[] = {{Made::air, "NO CUT", Shape::ring, Tone::neutral},
                  {Made::steady, "STEADY", Shape::wave, Tone::normal},
                  {Made::forced, "RINGING", Shape::square, Tone::abnormal},
                  {Made::building, "BUILDING", Shape::triangle, Tone::abnormal},
                  {Made::chatter, "CHATTER", Shape::diamond, Tone::danger}};
  for (const auto& one : expected) {
    const VerdictView view = verdict_of(made_state(one.what));
    CHECK(view.word == one.word);
    CHECK(view.shape == one.shape);
    CHECK(view.tone == one.tone);
    CHECK_FALSE(view.tone_line.empty());
  }
}

TEST_CASE("a tone is placed between the right tooth multiples") {
  CHECK(plain(place_between_teeth(1370, 300, listen::ChatterKind::hopf)) ==
        "1 370 Hz, between tooth multiples 4 and 5");
  CHECK(plain(place_between_teeth(1350, 300, listen::ChatterKind::period_doubling)) ==
        "1 350 Hz, halfway between tooth multiples 4 and 5");
  CHECK(plain(place_between_teeth(1201, 300, listen::ChatterKind::hopf)) == "1 201 Hz, on tooth multiple 4");
  CHECK(plain(place_between_teeth(120, 300, listen::ChatterKind::hopf)) == "120 Hz, between tooth multiples 0 and 1");
  CHECK(plain(place_between_teeth(500, 0, listen::ChatterKind::hopf)) == "500 Hz");
}

TEST_CASE("chatter says tone, growth, share and since when, all from the state") {
  live::State state = made_state(Made::chatter, 20);
  state.snapshot.chatter->share = 0.37;
  state.snapshot.chatter->start_s = 16.9;
  const VerdictView view = verdict_of(state);
  CHECK(plain(view.tone_line) == "1 807 Hz, between tooth multiples 4 and 5");
  CHECK(plain(view.how_line).find("just begun") == 0);
  CHECK(plain(view.how_line).find("37 % of the sound") != std::string::npos);
  CHECK(plain(view.how_line).find("for 3.1 s, since 17 s") != std::string::npos);
}

TEST_CASE("the trend is that of a second, whatever single moments do") {
  Trend trend;
  CHECK(trend.words().empty());
  double t_s = 0;
  const auto go_on = [&](double for_s, double db_per_s, double from_db) {
    const double start_s = t_s;
    for (; t_s < start_s + for_s; t_s += 0.025) trend.add(t_s, from_db + db_per_s * (t_s - start_s));
  };
  go_on(1, 12, -40);
  CHECK(trend.words() == "just begun");
  go_on(1, 12, -28);
  CHECK(plain(trend.words()) == "12 dB louder than a second ago");
  go_on(2, 0, -16);
  CHECK(trend.words() == "level holds");
  trend.add(t_s += 0.025, -200);  // one row of nothing is no trend
  CHECK(trend.words() == "level holds");
  t_s += 0.025;
  go_on(1, 0, -16);
  CHECK(trend.words() == "level holds");
  go_on(1, -200, -16);  // the end of a burst
  CHECK(trend.words() == "dying away");
  t_s += 2;
  go_on(0.5, 0, -16);
  CHECK(trend.words() == "just begun");  // another one
}

TEST_CASE("quiet after chatter claims only the cutting done at this very speed") {
  const auto states = test::made_session(Made::steady, 0.05);
  const Session session = session_of(states);
  const live::State& last = states.back();
  const VerdictView view = prepare_verdict(last, session, prepare_advice(last, session));
  // At 6000 the made-up session cut from 42 s to its end at 52 s; the chatter was at 6600, long before.
  const SpeedTried* here = session.tried(6000);
  REQUIRE(here);
  CHECK_THAT(here->quiet_run_s, test::WithinAbs(10, 0.1));
  // The trial counts less of it; band, card and trials say the same seconds.
  CHECK(plain(view.do_line) == "Quiet so far at 6 000: 2.4 s of cutting.");
  live::State other = last;
  other.trials.back().outcome = trial::Outcome::held;
  CHECK(plain(prepare_verdict(other, session, prepare_advice(other, session)).do_line) ==
        "Held so far at 6 000: 2.4 s of cutting.");
  other.trials.back().outcome = trial::Outcome::not_enough;
  other.trials.back().quiet_run_s = 0;
  CHECK(plain(prepare_verdict(other, session, prepare_advice(other, session)).do_line) ==
        "Settling at 6 000: not judged yet.");
  other.trials.clear();
  CHECK(plain(prepare_verdict(other, session, prepare_advice(other, session)).do_line) ==
        "Quiet so far at 6 000: 10 s of cutting.");
  // Without any chatter before it there is nothing to claim.
  CHECK(verdict_of(made_state(Made::steady)).do_line.empty());
}

TEST_CASE("a microphone that is gone gives no verdict") {
  live::State state = made_state(Made::steady, 12, false);
  state.source.running = false;
  state.source.trouble = "The microphone was unplugged.";
  const VerdictView view = verdict_of(state);
  CHECK(view.word == "NO SOUND");
  CHECK(view.tone == Tone::abnormal);
  CHECK(view.tone_line == "The microphone was unplugged.");
}

TEST_CASE("a move is told in knob steps when a step lies in the pocket, else as the S word") {
  live::CutCard card;
  card.programmed_rpm = 6000;
  advise::Candidate candidate = candidate_at(5390, 6000, 90);
  candidate.width_from_rpm = 5180;
  candidate.width_to_rpm = 5425;
  candidate.feed_mm_min = 1293.6;
  candidate.likelihood = 0.8;
  Move move = describe_move(candidate, card, Units::metric);
  CHECK(move.by_knob);
  CHECK(move.steps == -1);
  CHECK(move.target_rpm == 5400);
  CHECK(plain(move.sentence) == "Turn the speed DOWN one step, to 5 400.");
  // The step that is named first, with its own chip load; then the S word with its own likelihood.
  CHECK(plain(move.words[0]) == "override 90 %, chip load up by 11 %");
  CHECK(plain(move.beside[0]) == "or S5390 F1294 mm/min: 80 % likely");
  CHECK(plain(move.likely) == "80 % likely");
  candidate.knob_likelihood = 0.7;
  CHECK(plain(describe_move(candidate, card, Units::metric).likely) == "70 % likely");
  candidate.knob_likelihood.reset();

  candidate.width_to_rpm = 5395;  // now the step at 5400 lies beyond the wall
  move = describe_move(candidate, card, Units::metric);
  CHECK_FALSE(move.by_knob);
  CHECK(move.target_rpm == 5390);
  CHECK(plain(move.sentence) == "Set the speed DOWN to S5390.");

  CHECK(plain(move.words[0]) == "S5390 F1294 mm/min");
  CHECK(plain(move.beside[0]) == "override 89.8 %, nearest step 90 %");
  card.override_percent = 110;
  CHECK(plain(describe_move(candidate, card, Units::metric).sentence) == "Set the speed DOWN to S5390, override at 100 %.");
  // The step that is set, and chatters, is no answer, even in the pocket.
  card.override_percent = 90;
  candidate.width_to_rpm = 5425;
  CHECK(describe_move(candidate, card, Units::metric).by_knob);
  move = describe_move(candidate, card, Units::metric, true);
  CHECK_FALSE(move.by_knob);
  CHECK(plain(move.beside[0]) == "override 89.8 %, between two steps of the knob");
  card.override_percent = 100;

  candidate.width_from_rpm = candidate.width_to_rpm = 0;  // not known: within one percent will do
  CHECK(describe_move(candidate, card, Units::metric).by_knob);
  candidate.spindle_rpm = 5300;
  CHECK_FALSE(describe_move(candidate, card, Units::metric).by_knob);

  card.override_percent = 120;
  candidate = candidate_at(5400, 6000, 90);
  CHECK(plain(describe_move(candidate, card, Units::metric).sentence) == "Turn the speed DOWN three steps, to 5 400.");
  card.override_percent = 70;
  CHECK(plain(describe_move(candidate, card, Units::metric).sentence) == "Turn the speed UP two steps, to 5 400.");
  card.override_percent = 90;
  CHECK(describe_move(candidate, card, Units::metric).there_already);
}

TEST_CASE("the F word is in the machine's unit") {
  live::CutCard card;
  advise::Candidate candidate = candidate_at(5400, 6000, 85);
  candidate.feed_mm_min = 1270;
  const auto said = [&](Units units) { return plain(describe_move(candidate, card, units).words[0]); };
  CHECK(said(Units::metric) == "S5400 F1270 mm/min");
  CHECK(said(Units::inch) == "S5400 F50.00 in/min");
  candidate.feed_mm_min = 45.67;
  CHECK(said(Units::metric) == "S5400 F45.7 mm/min");
  candidate.feed_mm_min.reset();
  CHECK(said(Units::inch) == "S5400");
}

TEST_CASE("likelihood comes in coarse words beside the number, or is said to be unknown") {
  CHECK(plain(likelihood_words(0.6)) == "60 % likely");
  CHECK(plain(likelihood_words(0.45)) == "worth a try, 45 %");
  CHECK(plain(likelihood_words(0.1)) == "unlikely, 10 %");
  CHECK(likelihood_words(std::nullopt) == "likelihood not known");
}

TEST_CASE("the likelihood beside a speed is that speed's: the knob's step first, the S word after it") {
  live::State state = made_state(Made::chatter);
  state.advice.lower->likelihood = 0.73;
  state.advice.lower->knob_likelihood = 0.64;
  const AdviceView view = prepare_advice(state, session_of({state}));
  REQUIRE_FALSE(view.lines.empty());
  const AdviceLine& first = view.lines.front();
  REQUIRE(first.direction == advise::Direction::lower);
  REQUIRE(first.move.by_knob);
  // A step that is much worse is not named: the S word is typed instead.
  state.advice.lower->likelihood = 0.95;
  CHECK_FALSE(prepare_advice(state, session_of({state})).lines.front().move.by_knob);
  CHECK(plain(first.move.likely) == "64 % likely");
  CHECK(plain(first.move.beside[0]).find(": 73 % likely") != std::string::npos);
}

TEST_CASE("what else helps is shown when speed alone will probably not do, and only then") {
  live::State state = made_state(Made::chatter);
  state.advice.remedies = {{advise::Area::program, "Take less depth.", 2.0}};
  state.advice.notes = {"Two tones take turns."};
  AdviceView view = prepare_advice(state, session_of({state}));
  CHECK(view.remedies.empty());
  CHECK(view.note == "Two tones take turns.");
  state.advice.speed_may_not_do = true;
  view = prepare_advice(state, session_of({state}));
  REQUIRE(view.remedies.size() == 1);
  CHECK(view.remedies.front() == "Take less depth.");
}

TEST_CASE(
    "advice waits for an answer: shown while it chatters and after pulling out, gone once cut or speed says "
    "otherwise") {
  auto states = test::made_session(Made::chatter, 0.1);
  CHECK(prepare_advice(states.back(), session_of(states)).active);

  live::State out = states.back();
  out.snapshot.verdict = listen::Verdict::no_cut;
  out.snapshot.chatter.reset();
  out.snapshot.t_s += 1;
  out.episodes.back().open = false;
  states.push_back(out);
  AdviceView view = prepare_advice(states.back(), session_of(states));
  CHECK(view.active);
  CHECK(plain(view.headline) == "Turn the speed DOWN one step, to 5 400.");

  states.back().card.override_percent = 90;
  view = prepare_advice(states.back(), session_of(states));
  CHECK_FALSE(view.active);
  CHECK(plain(view.headline) == "Speed changed to 5 400: try the cut.");

  states.back().snapshot.verdict = listen::Verdict::steady;
  CHECK_FALSE(prepare_advice(states.back(), session_of(states)).active);
}

TEST_CASE("between two corners that chatter the advice stays, and the quiet is not called a cure") {
  auto states = test::made_session(Made::chatter, 0.1);
  states.back().episodes.back().return_of = 0;
  live::State corner = states.back();
  corner.episodes.push_back(corner.episodes.back());
  corner.episodes.back().start_s = corner.snapshot.t_s;
  states.push_back(corner);
  live::State wall = corner;
  wall.snapshot.verdict = listen::Verdict::steady;
  wall.snapshot.chatter.reset();
  for (int i = 1; i <= 300; ++i) {
    wall.snapshot.t_s = corner.snapshot.t_s + 0.1 * i;
    wall.trials.back().quiet_run_s = 0.1 * i;
    states.push_back(wall);
  }
  Session session = session_of(states);
  AdviceView advice = prepare_advice(states.back(), session);
  CHECK(advice.active);
  const VerdictView view = prepare_verdict(states.back(), session, advice);
  CHECK(view.word == "QUIET NOW");
  CHECK(view.shape == Shape::half);
  CHECK(view.tone == Tone::abnormal);  // green would claim that all is well
  CHECK(plain(view.tone_line) == "But chattered twice at 6 000, last with 1 807 Hz.");
  CHECK(plain(view.how_line) == "quiet for 30 s of cutting \xC2\xB7 it came back before");
  CHECK(prepare_ladder(states.back(), advice).pointer_tone == Tone::abnormal);
  CHECK(plain(view.do_line) == "Turn the speed DOWN one step, to 5 400.");

  // Less depth is another cut: what chattered before says nothing about it.
  wall.card.depth_mm = 2;
  wall.snapshot.t_s += 0.1;
  session.add(wall);
  CHECK_FALSE(prepare_advice(wall, session).active);
  CHECK(session.speeds().size() == 1);
}

TEST_CASE("chatter that goes on after the turn is chatter at the new speed, and the other way is named") {
  auto states = test::made_session(Made::chatter, 0.1);
  live::State on = states.back();
  on.card.override_percent = 90;
  Session session = session_of(states);
  const double turned_s = on.snapshot.t_s;
  for (double t_s = turned_s; t_s < turned_s + 1.5; t_s += 0.1) {
    on.snapshot.t_s = t_s;
    session.add(on);
  }
  CHECK(session.chattered_rpm() == 6000);
  CHECK(plain(prepare_advice(on, session).headline) == "Turned to 5 400: wait for the spindle, then listen.");
  for (double t_s = turned_s + 1.5; t_s < turned_s + 2.5; t_s += 0.1) {
    on.snapshot.t_s = t_s;
    session.add(on);
  }
  CHECK(session.chattered_rpm() == 5400);
  REQUIRE(session.tried(5400));
  CHECK(session.tried(5400)->episodes == 1);
  CHECK(session.tried(5400)->outcome() == advise::Outcome::chattered);
  // Both candidates of the old advice have chattered by now (6600 earlier in this session): neither is named first.
  CHECK(prepare_advice(on, session).first() == nullptr);
  // Where the other way is still open, it is named.
  on.advice.higher->knob_percent = 120;
  on.advice.higher->spindle_rpm = 7150;
  on.advice.higher->width_from_rpm = 7000;
  on.advice.higher->width_to_rpm = 7200;
  CHECK(plain(prepare_advice(on, session).headline) == "Turn the speed UP three steps, to 7 200.");
}

TEST_CASE("quiet that lasts answers a single onset") {
  auto states = test::made_session(Made::chatter, 0.1);
  live::State quiet = states.back();
  quiet.snapshot.verdict = listen::Verdict::steady;
  quiet.snapshot.chatter.reset();
  Session session = session_of(states);
  const double end_s = quiet.snapshot.t_s;
  for (double t_s = end_s; t_s < end_s + 8; t_s += 0.1) {
    quiet.snapshot.t_s = t_s;
    session.add(quiet);
  }
  CHECK(prepare_advice(quiet, session).active);
  for (double t_s = end_s + 8; t_s < end_s + 11; t_s += 0.1) {
    quiet.snapshot.t_s = t_s;
    session.add(quiet);
  }
  AdviceView advice = prepare_advice(quiet, session);
  CHECK_FALSE(advice.active);
  CHECK_FALSE(advice.waiting);
  // The ladder's mark here is still a cross, so the band does not say STEADY in green.
  CHECK(prepare_verdict(quiet, session, advice).word == "QUIET NOW");
  CHECK(prepare_verdict(quiet, session, advice).tone == Tone::abnormal);
  CHECK(prepare_verdict(quiet, session, advice).do_line == "Quiet so far, not held: it chattered here.");
  CHECK(prepare_ladder(quiet, advice).pointer_tone == Tone::abnormal);
  // On another cut nothing chattered yet.
  quiet.trials.back().set_up = 1;
  quiet.trials.back().outcome = trial::Outcome::not_enough;
  advice = prepare_advice(quiet, session);
  CHECK(prepare_verdict(quiet, session, advice).word == "STEADY");
  CHECK(prepare_ladder(quiet, advice).pointer_tone == Tone::normal);
}

TEST_CASE("the band is green at a speed exactly when its mark on the ladder is none or a disc") {
  auto states = test::made_session(Made::steady, 0.1);
  live::State& state = states.back();
  const Session session = session_of(states);
  for (const auto outcome :
       {trial::Outcome::not_enough, trial::Outcome::held, trial::Outcome::chattered, trial::Outcome::returned}) {
    state.trials.back().outcome = outcome;
    const AdviceView advice = prepare_advice(state, session);
    const bool green = prepare_verdict(state, session, advice).tone == Tone::normal;
    const LadderView ladder = prepare_ladder(state, advice);
    bool doubted = false;
    for (const TrialMark& mark : ladder.trials)
      doubted = doubted || (mark.rpm == 6000 && mark.outcome != advise::Outcome::held);
    CHECK(green == !doubted);
    CHECK((ladder.pointer_tone == Tone::normal) == green);
  }
}

TEST_CASE("a speed that chattered before is not named first") {
  const auto states = test::made_session(Made::chatter, 0.1);
  const AdviceView view = prepare_advice(states.back(), session_of(states));
  REQUIRE(view.lines.size() == 2);
  CHECK(view.lines[0].direction == advise::Direction::lower);
  CHECK(view.lines[1].warning == "chatter came back there");  // 6600, in this session
  CHECK_FALSE(view.lines[1].first);
}

TEST_CASE("the advice says of a tried speed what the trials' panel says of it") {
  auto states = test::made_session(Made::chatter, 0.1);
  live::State& state = states.back();
  REQUIRE_FALSE(state.trials.empty());
  trial::Trial before = state.trials.front();
  before.spindle_rpm = 6600;
  before.running = false;
  for (const auto& [outcome, words] : {std::pair{trial::Outcome::returned, "chatter came back there"},
                                       {trial::Outcome::chattered, "chattered there before"}}) {
    before.outcome = outcome;
    state.trials.assign(1, before);
    const AdviceView view = prepare_advice(state, session_of(states));
    REQUIRE(view.lines.size() == 2);
    CHECK(view.lines[1].warning == words);
  }
}

TEST_CASE("while the adviser works out a new answer the last one for this speed stays, and none for another speed") {
  auto states = test::made_session(Made::chatter, 0.1);
  live::State again = states.back();
  again.snapshot.t_s += 0.1;
  again.advice_ready = false;
  again.advice = {};
  states.push_back(again);
  Session session = session_of(states);
  CHECK(plain(prepare_advice(again, session).headline) == "Turn the speed DOWN one step, to 5 400.");
  again.card.override_percent = 90;
  again.snapshot.t_s += 0.1;
  session.add(again);
  CHECK(plain(prepare_advice(again, session).headline) == "Turned to 5 400: wait for the spindle, then listen.");
  for (int i = 0; i < 25; ++i) {
    again.snapshot.t_s += 0.1;
    session.add(again);
  }
  CHECK(prepare_advice(again, session).headline == "Working out which way to turn.");
}

TEST_CASE("while no advice is wanted its card says why, and claims no more than was heard") {
  const live::State air = made_state(Made::air);
  CHECK(prepare_advice(air, session_of({air})).idle.find("No chatter so far.") == 0);
  const auto states = test::made_session(Made::steady, 0.05);
  CHECK(plain(prepare_advice(states.back(), session_of(states)).idle) ==
        "Keep 6 000: no chatter here in 2.4 s of cutting. It counts as held once a whole pass stays quiet.");
}

TEST_CASE("while the adviser still works, or finds nothing, the screen says so") {
  live::State state = made_state(Made::chatter);
  state.advice_ready = false;
  Session session = session_of({state});
  CHECK(prepare_advice(state, session).headline == "Working out which way to turn.");
  state.advice_ready = true;
  state.advice = {};
  state.advice.reason = "No pocket lies within the limits.";
  const AdviceView view = prepare_advice(state, session);
  CHECK(view.lines.empty());
  CHECK(view.headline == "No stable speed found within the limits.");
  CHECK(view.reason == "No pocket lies within the limits.");
}

TEST_CASE("every warning has words of its own") {
  const live::State state = made_state(Made::steady);
  std::vector<std::string> seen;
  for (int i = 0; i <= static_cast<int>(listen::Warning::automatic_gain); ++i) {
    const std::string words = warning_words(static_cast<listen::Warning>(i), state);
    INFO(i);
    CHECK_FALSE(words.empty());
    CHECK(std::find(seen.begin(), seen.end(), words) == seen.end());
    seen.push_back(words);
  }
}

TEST_CASE("a speed that the sound contradicts is no proof, gets no advice, and one key takes what is heard") {
  live::State state = made_state(Made::chatter);
  state.other_fit = listen::OtherFit{5390, 4};
  state.trials.back().heard_as = state.other_fit;
  const TrialsView view = prepare_trials(state);
  CHECK(plain(view.offer) == "Heard 5 400 = 90 %: Y takes it.");
  CHECK(plain(view.now.words) == "no proof: 5 390 heard");
  const AdviceView advice = prepare_advice(state, session_of({state}));
  CHECK(advice.lines.empty());
  CHECK(plain(advice.headline) == "Heard 5 390, not 6 000: Y takes it, or correct the card.");
}

TEST_CASE("no speed that came back or chattered is named first, and no arrow points at it") {
  live::State state = made_state(Made::chatter);
  state.trials.front().spindle_rpm = 5400;  // came back there
  const AdviceView advice = prepare_advice(state, session_of({state}));
  const auto lower = std::find_if(advice.lines.begin(), advice.lines.end(),
                                  [](const AdviceLine& line) { return line.direction == advise::Direction::lower; });
  REQUIRE(lower != advice.lines.end());
  CHECK(lower->warning == "chatter came back there");
  CHECK_FALSE(lower->first);
  const LadderView ladder = prepare_ladder(state, advice);
  for (const AdviceArrow& arrow : ladder.arrows) CHECK(arrow.to_rpm != 5400);
  REQUIRE(ladder.trials.size() == 3);
  CHECK(ladder.trials[0].outcome == advise::Outcome::chattered);  // 6000, now
  CHECK(ladder.trials[1].outcome == advise::Outcome::returned);
  CHECK(ladder.trials[2].outcome == advise::Outcome::held);
}
