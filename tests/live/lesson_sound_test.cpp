// Real sound out and in again: lessons played through the loudspeaker into a sound server, and heard back by the
// running monitor and by the lesson's own microphone.
#include <chrono>
#include <functional>
#include <thread>

#include "capture/microphone.hpp"
#include "lessons/two_forks.hpp"
#include "live/lesson_player.hpp"
#include "live/live.hpp"
#include "support/catch.hpp"
#include "support/sound_server.hpp"

using namespace hushmill;
using namespace hushmill::live;
using std::chrono::seconds;
using Clock = std::chrono::steady_clock;

namespace {

template <typename Thing, typename What>
bool poll_until(Thing& thing, What& state, seconds at_most, const std::function<bool(const What&)>& enough) {
  const auto until = Clock::now() + at_most;
  while (Clock::now() < until) {
    if (thing.poll(state) && enough(state)) return true;
    std::this_thread::sleep_for(std::chrono::milliseconds(5));
  }
  return false;
}

}  // namespace

TEST_CASE("a lesson that is played is heard back: its chatter by the monitor, its forks by another's microphone") {
  test::SoundServer server;
  server.use_here();
  {
    LiveSettings monitor;
    monitor.kind = SourceKind::microphone;
    monitor.card.programmed_rpm = 6800;
    monitor.card.flutes = 4;
    Live instrument(monitor, std::make_unique<capture::Microphone>(capture::MicrophoneSettings{
                                 .device = test::SoundServer::kMicrophone, .sample_rate_hz = 48000}));
    State heard;
    REQUIRE(
        poll_until<Live, State>(instrument, heard, seconds(10), [](const State& s) { return s.snapshot.t_s > 0.5; }));
    LessonPlayer player({.name = lessons::Name::lower_or_higher, .loudspeaker = test::SoundServer::kLoudspeaker});
    REQUIRE(
        poll_until<Live, State>(instrument, heard, seconds(25), [](const State& s) { return s.episode_count > 0; }));
    LessonState lesson;
    REQUIRE(poll_until<LessonPlayer, LessonState>(
        player, lesson, seconds(10), [](const LessonState& s) { return s.scene.heard && s.scene.heard->chatter_hz; }));
    CHECK(lesson.trouble.empty());
    CHECK_THAT(heard.episodes.back().chatter_hz, test::WithinRel(*lesson.scene.heard->chatter_hz, 0.01));
  }
  LessonPlayer forks({.loudspeaker = test::SoundServer::kLoudspeaker});
  LessonPlayer ears({.sound = false, .microphone = test::SoundServer::kMicrophone});
  LessonState heard;
  REQUIRE(
      poll_until<LessonPlayer, LessonState>(ears, heard, seconds(5), [](const LessonState& s) { return !s.making; }));
  ears.send(HearForks{true});
  REQUIRE(poll_until<LessonPlayer, LessonState>(ears, heard, seconds(10),
                                                [](const LessonState& s) { return s.microphone; }));
  forks.send(TurnControl{0, 445});
  const auto notes = lessons::fork_notes({440, 445, 0.5, 16});
  const auto right = [&](const LessonState& s) {
    const auto& tones = std::get<lessons::ForksPicture>(s.scene.picture).tones;
    return tones && tones->second_hz && std::abs(tones->first_hz - notes.lower_hz) < 0.1 &&
           std::abs(*tones->second_hz - notes.upper_hz) < 0.1;
  };
  bool told_apart = false;
  for (int strike = 0; strike < 4 && !told_apart; ++strike) {  // a busy machine may stutter once
    forks.send(DoDeed{1});
    told_apart = poll_until<LessonPlayer, LessonState>(ears, heard, seconds(6), right);
  }
  CHECK(told_apart);
  // Real sound is not slowed, and one key opens another lesson.
  ears.send(SlowLesson{100});
  REQUIRE(poll_until<LessonPlayer, LessonState>(ears, heard, seconds(5),
                                                [](const LessonState& s) { return !s.news.empty(); }));
  CHECK(heard.slow == 1);
  // Nor recorded: an empty file would be kept.
  ears.send(RecordLesson{true});
  REQUIRE(poll_until<LessonPlayer, LessonState>(
      ears, heard, seconds(5), [](const LessonState& s) { return s.news.find("not recorded") != std::string::npos; }));
  CHECK_FALSE(heard.recording);
  ears.send(OpenLesson{lessons::Name::lower_or_higher});
  CHECK(poll_until<LessonPlayer, LessonState>(ears, heard, seconds(5), [](const LessonState& s) {
    return !s.making && !s.microphone && s.scene.name == lessons::Name::lower_or_higher;
  }));
}
