// A recording tells exactly what was heard live: the same events, from the same samples, to the last bit.
#include <algorithm>
#include <thread>

#include "capture/recording.hpp"
#include "capture/rig_source.hpp"
#include "journal/journal.hpp"
#include "listen/listener.hpp"
#include "live/keeper.hpp"
#include "live/listening.hpp"
#include "live/shelf.hpp"
#include "rig/rig_settings.hpp"
#include "support/catch.hpp"
#include "support/temporary_folder.hpp"

using namespace hushmill;
using Time = live::Listening::Time;

namespace {

constexpr double kRateHz = 48000;
constexpr double kLiveS = 12;

/// Listens live to the simulated machine as the instrument does, without its thread and its clock: in the cut from 2 s,
/// a deeper pass from 4 s, the override turned at 7 s. Records the session.
std::vector<listen::Event> listen_live(const std::filesystem::path& folder) {
  live::CutCard card;
  card.programmed_rpm = 6800;
  card.flutes = 4;
  card.knob_min_percent = 60;
  card.knob_max_percent = 120;
  card.taps = {live::CardTap{1180, 0.02, false, false}, live::CardTap{94, 0, false, true}};
  card.tap_count = 2;
  live::KeepingSettings keeping;
  keeping.folder = folder;
  keeping.record = true;
  keeping.least_free_gib = 0;
  keeping.sample_rate_hz = kRateHz;
  keeping.card = card;
  const auto keeper = std::make_shared<live::Keeper>(keeping);
  std::vector<listen::Event> events;
  auto scene = rig::bracket_wall();
  scene.start.in_cut = false;
  const Time start{};
  live::Listening listening({.card = card, .kind = live::SourceKind::rig, .states_per_s = 40, .real_time = true, .log = {}, .keeper = keeper},
                            std::make_unique<capture::RigSource>(rig::Rig(scene)), start);
  live::State state;
  listening.apply(live::TakeTried(std::vector<advise::Trial>{{5440, advise::Outcome::chattered, 1190.5}}));
  bool in = false, deeper = false, turned = false;
  for (double t_s = 0; t_s < kLiveS; t_s += 0.05) {
    const Time now = start + std::chrono::duration_cast<Time::duration>(std::chrono::duration<double>(t_s));
    while (keeper->backlog() > 0.5) std::this_thread::sleep_for(std::chrono::milliseconds(1));
    listening.step(now);
    listening.fill(state, true);
    for (const listen::Event& event : state.events) {
      if (events.empty() || event.sample > events.back().sample ||
          (event.sample == events.back().sample && event.kind != events.back().kind)) {
        events.push_back(event);
      }
    }
    auto controls = *state.rig;
    if (!in && t_s > 2) {
      in = controls.in_cut = true;
      listening.apply(live::TurnRig{controls});
    }
    if (!deeper && t_s > 4) {
      deeper = true;
      controls.depth_mm = 3;
      listening.apply(live::TurnRig{controls});
    }
    if (!turned && t_s > 7) {
      turned = true;
      card.override_percent = 90;
      controls.spindle_rpm = card.entered_rpm();
      listening.apply(live::TurnRig{controls});
      listening.apply(live::ChangeCard{card});
    }
  }
  return events;
}

struct Heard {
  std::vector<listen::Event> events;
  listen::Findings findings;
};

Heard replay(const std::filesystem::path& folder, std::size_t block) {
  const auto record = journal::Journal(folder).session(1);
  capture::Recording recording(folder / record.recordings.front().path);
  const auto& first = record.cards.front();
  listen::Listener listener({kRateHz, first.entered_rpm, static_cast<int>(first.flutes)});
  Heard heard;
  std::vector<float> piece(block);
  std::int64_t at = 0;
  std::size_t next_card = 1;
  while (!recording.ended()) {
    std::size_t want = piece.size();
    if (next_card < record.cards.size()) {
      const auto change = std::llround(record.cards[next_card].t_s * kRateHz);
      if (change <= at) listener.set_spindle_rpm(record.cards[next_card++].entered_rpm);
      else want = std::min(want, static_cast<std::size_t>(change - at));
    }
    const std::size_t got = recording.read(std::span<float>(piece).first(want));
    listener.process(std::span<const float>(piece).first(got));
    at += static_cast<std::int64_t>(got);
    for (const auto& event : listener.take_events()) heard.events.push_back(event);
  }
  listener.finish();
  heard.findings = listener.findings();
  return heard;
}

}  // namespace

TEST_CASE("what was recorded live gives the same events again, exactly, in blocks of any size") {
  const test::TemporaryFolder folder;
  const auto live = listen_live(folder.path());
  REQUIRE(std::count_if(live.begin(), live.end(), [](const auto& e) { return e.kind == listen::EventKind::chatter_onset; }) > 0);
  const auto record = journal::Journal(folder.path()).session(1);
  REQUIRE(record.cards.size() == 2);
  // What was said to have been tried before is said again in the replay.
  const auto subject = live::subject_of(record, folder.path(), std::nullopt);
  REQUIRE_FALSE(subject.steps.empty());
  // With the knob's reach and the tapped modes of then, on every card.
  REQUIRE(subject.card.tap_count == 2);
  CHECK(subject.card.taps[1] == live::CardTap{94, 0, false, true});
  CHECK(subject.card.knob_max_percent == 120);
  for (const auto& step : subject.steps)
    if (const auto* change = std::get_if<live::ChangeCard>(&step.command)) CHECK((change->card.tap_count == 2 && change->card.knob_min_percent == 60));
  const auto* tried = std::get_if<live::TakeTried>(&subject.steps.front().command);
  REQUIRE(tried != nullptr);
  CHECK(subject.steps.front().t_s == 0);
  REQUIRE(tried->trials().size() == 1);
  CHECK(tried->trials()[0] == advise::Trial{5440, advise::Outcome::chattered, 1190.5});
  for (const std::size_t block : {192UL, 4096UL, 977UL}) {
    CAPTURE(block);
    const Heard again = replay(folder.path(), block);
    REQUIRE(again.events.size() >= live.size());
    for (std::size_t i = 0; i < live.size(); ++i) {
      CHECK(again.events[i].sample == live[i].sample);
      CHECK(again.events[i].kind == live[i].kind);
      CHECK(again.events[i].index == live[i].index);
    }
    // The journal holds what the end of the session made of them.
    REQUIRE(record.episodes.size() == again.findings.episodes.size());
    for (std::size_t i = 0; i < record.episodes.size(); ++i) {
      CHECK(record.episodes[i].start_s == again.findings.episodes[i].start_s);
      CHECK(record.episodes[i].alert_s == again.findings.episodes[i].alert_s);
      CHECK(record.episodes[i].end_s == again.findings.episodes[i].end_s);
      CHECK(record.episodes[i].chatter_hz == again.findings.episodes[i].chatter_hz);
    }
    REQUIRE(record.cuts.size() == again.findings.cuts.size());
  }
}
