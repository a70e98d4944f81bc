// A replay is the session again: same verdicts at the same moments, same trials, whatever was done live; and what is
// changed is heard anew.
#include <algorithm>
#include <chrono>
#include <cmath>
#include <thread>

#include "capture/rig_source.hpp"
#include "journal/journal.hpp"
#include "live/keeper.hpp"
#include "live/listening.hpp"
#include "live/replay.hpp"
#include "live/replay_ear.hpp"
#include "live/shelf.hpp"
#include "rig/rig_settings.hpp"
#include "support/catch.hpp"
#include "support/temporary_folder.hpp"

using namespace hushmill;
using Time = live::Listening::Time;

namespace {

constexpr double kLiveS = 9;

struct LiveMoment {
  double t_s = 0;
  listen::Verdict verdict{};
};

struct LiveSession {
  std::vector<LiveMoment> moments;
  std::vector<listen::Episode> episodes;
  std::vector<trial::Trial> trials;
};

// The simulated wall chatters from 2.5 s, the knob goes down at 5 s; a lap and a place are marked. Recorded and kept.
LiveSession listen_live(const std::filesystem::path& folder) {
  live::CutCard card;
  card.programmed_rpm = 6800;
  card.flutes = 4;
  live::KeepingSettings keeping{.folder = folder, .record = true, .sample_rate_hz = 48000, .card = card};
  keeping.least_free_gib = 0;
  const auto keeper = std::make_shared<live::Keeper>(keeping);
  auto scene = rig::bracket_wall();
  scene.start.in_cut = false;
  const Time start{};
  LiveSession session;
  live::State state;
  {
    live::Listening listening({.card = card,
                               .kind = live::SourceKind::rig,
                               .states_per_s = 40,
                               .real_time = true,
                               .log = {},
                               .keeper = keeper},
                              std::make_unique<capture::RigSource>(rig::Rig(scene)), start);
    const auto at = [&](double done_s, double t_s) { return done_s < t_s && t_s <= done_s + 0.0201; };
    for (double t_s = 0; t_s < kLiveS; t_s += 0.02) {
      while (keeper->backlog() > 0.5) std::this_thread::sleep_for(std::chrono::milliseconds(1));
      listening.step(start + std::chrono::duration_cast<Time::duration>(std::chrono::duration<double>(t_s)));
      listening.fill(state, true);
      session.moments.push_back({state.snapshot.t_s, state.snapshot.verdict});
      auto controls = *state.rig;
      if (at(1, t_s)) {
        controls.in_cut = true;
        listening.apply(live::TurnRig{controls});
      }
      if (at(2.5, t_s)) {
        controls.depth_mm = 3;
        listening.apply(live::TurnRig{controls});
        listening.apply(live::TagPlace{trial::Place::wall});
      }
      if (at(5, t_s)) {
        card.override_percent = 90;
        controls.spindle_rpm = card.entered_rpm();
        listening.apply(live::TurnRig{controls});
        listening.apply(live::ChangeCard{card});
      }
      if (at(6.4, t_s) || at(8.2, t_s)) listening.apply(live::MarkPass{});
    }
    session.episodes = state.episodes;
    session.trials = state.trials;
  }
  return session;
}

void wait_until_heard(const live::Replay& replay) {
  live::State state;
  live::ReplayView view;
  for (int i = 0; i < 12000; ++i) {
    replay.look(state, view);
    if (view.all_heard) return;
    std::this_thread::sleep_for(std::chrono::milliseconds(10));
  }
  FAIL("the replay never came to its end");
}

}  // namespace

TEST_CASE("a kept session is replayed from the journal with the very verdicts, trials and laps of the live one") {
  const test::TemporaryFolder folder;
  const LiveSession live = listen_live(folder.path());
  REQUIRE(!live.episodes.empty());
  REQUIRE(live.trials.size() >= 2);

  auto subject = live::subject_of(journal::Journal(folder.path()).session(1), folder.path(), {});
  CHECK(subject.files.size() == 1);
  subject.rules.pass_needed = true;  // as live
  live::Replay replay(subject);
  wait_until_heard(replay);

  // At every moment that was looked at live, the replay shows the same verdict, but for the fraction of a frame by
  // which they differ.
  live::State state;
  live::ReplayView view;
  std::size_t same = 0, other = 0;
  std::vector<std::pair<double, listen::Verdict>> replayed;
  double after_s = -1;
  for (double last = -2; last != after_s;) {
    last = after_s;
    after_s = replay.moments(after_s, 1000,
                             [&](const live::State& s) { replayed.emplace_back(s.snapshot.t_s, s.snapshot.verdict); });
  }
  REQUIRE(replayed.size() > 150);
  for (const auto& [t_s, verdict] : replayed) {
    const auto found = std::find_if(live.moments.begin(), live.moments.end(),
                                    [&, at_s = t_s](const LiveMoment& m) { return m.t_s == at_s; });
    if (found == live.moments.end()) continue;
    (found->verdict == verdict ? same : other) += 1;
  }
  CHECK(same > 60);
  CHECK(other == 0);

  REQUIRE(replay.findings());
  const auto episodes = replay.findings()->episodes;
  REQUIRE(episodes.size() == live.episodes.size());
  for (std::size_t i = 0; i < episodes.size(); ++i) {
    CHECK(episodes[i].alert_s == live.episodes[i].alert_s);
    CHECK(episodes[i].start_s == live.episodes[i].start_s);
    if (!live.episodes[i].open) CHECK(episodes[i].end_s == live.episodes[i].end_s);
  }
  replay.seek(1e9);
  replay.look(state, view);
  REQUIRE(state.trials.size() == live.trials.size());
  for (std::size_t i = 0; i < state.trials.size(); ++i) {
    CHECK(state.trials[i].spindle_rpm == live.trials[i].spindle_rpm);
    CHECK(state.trials[i].outcome == live.trials[i].outcome);
    CHECK(state.trials[i].passes == live.trials[i].passes);
    CHECK(state.trials[i].places.size() == live.trials[i].places.size());
  }
  CHECK(state.trials.back().passes == 1);
  CHECK(state.advice_ready);

  {  // it is wound, played, looped and ends by itself
    const double alert_s = episodes.front().alert_s;
    replay.seek(alert_s - 0.2);
    replay.look(state, view);
    CHECK(state.snapshot.verdict != listen::Verdict::chatter);
    replay.seek(alert_s + 0.1);
    replay.look(state, view);
    CHECK(state.snapshot.verdict == listen::Verdict::chatter);
    CHECK(state.source.running);  // held still is not ended
    CHECK(state.snapshot.t_s <= view.at_s);
    CHECK(state.snapshot.t_s > view.at_s - 0.06);
    replay.set_loop(std::pair{1.0, 1.2});
    replay.set_speed(8);
    replay.play(true);
    std::this_thread::sleep_for(std::chrono::milliseconds(200));
    replay.look(state, view);
    CHECK(view.playing);
    CHECK(view.at_s >= 1.0);
    CHECK(view.at_s <= 1.3);
    // A loop that reaches beyond the end goes round, too.
    replay.set_loop(std::pair{view.length_s - 0.4, view.length_s + 0.5});
    replay.play(true);
    std::this_thread::sleep_for(std::chrono::milliseconds(200));
    replay.look(state, view);
    CHECK(view.playing);
    CHECK(view.at_s <= view.length_s);
    replay.set_loop({});
    replay.seek(view.length_s - 0.3);
    replay.play(true);
    for (int i = 0; i < 1000 && view.playing; ++i) {
      std::this_thread::sleep_for(std::chrono::milliseconds(10));
      replay.look(state, view);
    }
    CHECK_FALSE(view.playing);
    CHECK_FALSE(state.source.running);
    CHECK(view.at_s > view.length_s - 0.1);
  }
  {  // another flute count makes all of it be heard again, and back again gives the first answer
    replay.seek(3);
    replay.look(state, view);
    const auto hearing = view.hearing;
    auto card = state.card;
    card.flutes = 3;
    replay.change(live::ChangeCard{card});
    for (int i = 0; i < 500 && view.hearing == hearing; ++i) {
      std::this_thread::sleep_for(std::chrono::milliseconds(5));
      replay.look(state, view);
    }
    wait_until_heard(replay);
    replay.seek(8.5);
    replay.look(state, view);
    CHECK(state.snapshot.flutes == 3);
    CHECK(state.card.entered_rpm() == test::Approx(0.9 * 6800));  // the speed of each stretch stays its own
    card.flutes = 4;
    const auto second = view.hearing;
    replay.change(live::ChangeCard{card});
    for (int i = 0; i < 500 && view.hearing == second; ++i) {
      std::this_thread::sleep_for(std::chrono::milliseconds(5));
      replay.look(state, view);
    }
    wait_until_heard(replay);
    REQUIRE(replay.findings()->episodes.size() == live.episodes.size());
    CHECK(replay.findings()->episodes.front().alert_s == live.episodes.front().alert_s);
  }
}

TEST_CASE("a tape that runs at another speed is longer or shorter, and neither louder nor broken") {
  std::vector<float> in(4800);
  for (std::size_t i = 0; i < in.size(); ++i)
    in[i] = 0.5F * static_cast<float>(std::sin(0.05 * static_cast<double>(i)));
  for (const double speed : {0.5, 1.0, 2.0}) {
    live::TapeSpeed tape;
    std::vector<float> out;
    for (std::size_t at = 0; at < in.size(); at += 100)
      tape.process(std::span<const float>(in).subspan(at, 100), speed, out);
    CHECK(static_cast<double>(out.size()) == test::Approx(static_cast<double>(in.size()) / speed).epsilon(0.01));
    for (std::size_t i = 1; i < out.size(); ++i) {
      CHECK(std::abs(out[i]) <= 0.5F);
      if (std::abs(out[i] - out[i - 1]) > 0.06F) FAIL("a step in the sound");
    }
  }
}
