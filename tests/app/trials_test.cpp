// Whole sessions on the simulated machine, heard by the real listener: did the change clear it, and is it said right?
#include <cmath>
#include <sstream>
#include <string>
#include <tuple>

#include "app/bench_folder.hpp"
#include "app/document_shape.hpp"
#include "support/catch.hpp"

using namespace hushmill;
using test::Contains;
using test::Json;
using test::WithinAbs;
using test::Words;

namespace {

/// A scene, the change of speed after eight seconds, and how it is entered for the review.
struct Session {
  Words scene;
  std::string rpm, flutes;
  Words change;
};

Json trials_of(const test::BenchFolder& bench, const Session& session, const Words& more = {}) {
  Words made = session.scene;
  made.insert(made.end(), session.change.begin(), session.change.end());
  bench.simulate("session.wav", made);
  Words asked = session.change;
  asked.insert(asked.end(), more.begin(), more.end());
  const auto document = bench.review("session.wav", session.rpm, session.flutes, asked);
  CHECK(test::shape_trouble(document) == "");
  return document.at("trials");
}

std::string text_of(const test::BenchFolder& bench, const Session& session, const Words& more = {}) {
  Words words{"review", bench.path("session.wav"), "--rpm", session.rpm, "--flutes", session.flutes};
  words.insert(words.end(), session.change.begin(), session.change.end());
  words.insert(words.end(), more.begin(), more.end());
  const auto run = bench.hushmill(words);
  CHECK(run.code == 0);
  return run.out;
}

// A deeper pass at 4 s makes the wall chatter at 6800 rev/min.
Session wall(const std::string& seed, const std::string& new_rpm) {
  return {{"--scene", "bracket-wall", "--seed", seed, "--depth-at", "4:3", "--for-s", "15"}, "6800", "4", {"--rpm-at", "8:" + new_rpm}};
}

// The tray's corners chatter at 8400 rev/min, lap after lap.
Session tray(const std::string& new_rpm, const std::string& for_s = "20") {
  return {{"--scene", "tray-pocket", "--for-s", for_s}, "8400", "3", {"--rpm-at", "8:" + new_rpm}};
}

}  // namespace

TEST_CASE("override cleared: the speed before chattered, the new one held, and the numbers show it") {
  const test::BenchFolder bench;
  for (const char* seed : {"1", "2", "4"}) {
    INFO("seed " << seed);
    const auto session = wall(seed, "6000");
    const auto trials = trials_of(bench, session);
    REQUIRE(trials.size() == 2);
    CHECK(trials[0].at("outcome") == "chattered");
    CHECK(trials[0].at("spindle_rpm") == 6800);
    CHECK(trials[1].at("outcome") == "held");
    CHECK(trials[1].at("spindle_rpm") == 6000);
    CHECK_THAT(trials[1].at("from_s").get<double>(), WithinAbs(8, 1e-4));
    CHECK_THAT(trials[1].at("to_s").get<double>(), WithinAbs(15, 1e-4));
    CHECK(trials[1].at("quiet_s") >= 3);
    CHECK(trials[1].at("quiet_s") <= 6.01);
    CHECK(trials[1].at("returns_s").empty());
    REQUIRE(trials[1].at("compared").is_object());
    CHECK(trials[1].at("compared").at("tone_db") < -20);
    CHECK(trials[1].at("compared").at("family_db") < -15);
    CHECK(trials[1].at("compared").at("before").at("chatter_share") > 0.5);
    CHECK(trials[1].at("compared").at("after").at("chatter_share") < 0.1);
    const auto text = text_of(bench, session);
    CHECK_THAT(text, Contains("chattered: "));
    CHECK_THAT(text, Contains("held: no chatter in "));
    CHECK_THAT(text, Contains("Highest speed that held: S6000."));
    CHECK(text.find("leared") == std::string::npos);
  }
}

TEST_CASE("not cleared: a step that is not enough goes on chattering") {
  const test::BenchFolder bench;
  const auto session = wall("1", "6460");
  const auto trials = trials_of(bench, session);
  REQUIRE(trials.size() == 2);
  CHECK(trials[1].at("outcome") == "chattered");
  CHECK(trials[1].at("quiet_s") < 1);
  CHECK_THAT(text_of(bench, session), Contains("No speed has held yet."));
}

TEST_CASE("chatter that comes over to the new speed is not called held, though it is nothing new there") {
  const test::BenchFolder bench;
  // The tone moves while the spindle is turned, and was learned as the background at the new speed: it then counted as held.
  for (const auto& [scene, rpm, change] : {std::tuple{Words{"--depth-mm", "3.4", "--stick-out-mm", "66", "--rpm", "6800", "--seed", "1", "--for-s", "16"}, "6800", "8:4080"},
                                           {Words{"--depth-mm", "3", "--speed-error-percent", "1.2", "--rpm", "6800", "--seed", "1", "--for-s", "16"}, "6800", "8:6120"}}) {
    CAPTURE(change);
    const auto trials = trials_of(bench, {scene, rpm, "4", {"--rpm-at", change}});
    REQUIRE(trials.size() == 2);
    CHECK(trials[1].at("outcome") != "held");
    CHECK(trials[1].at("outcome") != "not_enough");
  }
}

TEST_CASE("a speed beyond a limit is not to be kept, however quiet it is") {
  const test::BenchFolder bench;
  const auto session = wall("1", "8840");
  CHECK(trials_of(bench, session)[1].at("outcome") == "held");
  CHECK(text_of(bench, session).find("Stay with it") != std::string::npos);
  const auto text = text_of(bench, session, {"--tool-max-rpm", "8000"});
  CHECK(text.find("S8840 is above the limit of 8000 rev/min: slow down") != std::string::npos);
  CHECK(text.find("Stay with it") == std::string::npos);
  const auto run = bench.hushmill({"watch", "--source", "recording", "--file", bench.path("session.wav"), "--rpm", "6800", "--flutes", "4", "--rpm-at", "8:8840", "--holder-max-rpm", "8000", "--no-journal"});
  CHECK(run.out.find("S8840 is above the limit of 8000 rev/min") != std::string::npos);
}

TEST_CASE("a step that is not enough gets advice for the new speed, the same in the monitor and in a review") {
  const test::BenchFolder bench;
  const auto session = wall("1", "6460");
  const auto trials = trials_of(bench, session);
  Words words{"watch", "--source", "recording", "--file", bench.path("session.wav"), "--rpm", "6800", "--flutes", "4", "--rpm-at", "8:6460", "--json"};
  std::istringstream lines(bench.hushmill(words).out);
  std::vector<Json> went_on;
  double last_onset_s = 0;
  for (std::string line; std::getline(lines, line);) {
    const auto event = Json::parse(line);
    if (event.at("event") == "chatter_goes_on") went_on.push_back(event);
    if (event.at("event") == "chatter_onset") last_onset_s = event.at("t_s");
  }
  const auto document = bench.review("session.wav", "6800", "4", {"--rpm-at", "8:6460"});
  // Either it was raised anew at the new speed, or it went on and that is said once.
  if (last_onset_s < 8) {
    REQUIRE(went_on.size() == 1);
    CHECK(went_on[0].at("spindle_rpm") == 6460);
    CHECK(went_on[0].at("t_s") > 10);
    CHECK(test::advice_shape_trouble(went_on[0].at("advice")) == "");
    for (const auto& advice : {went_on[0].at("advice"), document.at("advice")}) {
      // The speed that chattered before is none that may be tried again, and the present one is no change.
      REQUIRE(advice.at("lower").is_object());
      CHECK(advice.at("lower").at("spindle_rpm") < 6460 * 0.99);
    }
  } else {
    CHECK(went_on.empty());
  }
}

TEST_CASE("a speed that is entered two seconds before the machine gets there is judged from when it is there") {
  const test::BenchFolder bench;
  const auto session = wall("1", "6000");
  Words made = session.scene;
  made.insert(made.end(), {"--rpm-at", "8:6000"});
  bench.simulate("session.wav", made);
  const auto document = bench.review("session.wav", "6800", "4", {"--rpm-at", "6:6000"});
  const auto& trials = document.at("trials");
  REQUIRE(trials.size() == 2);
  CHECK(trials[0].at("outcome") == "chattered");
  CHECK(trials[1].at("from_s") == 6);
  CHECK(trials[1].at("judged_from_s") > 7.9);
  CHECK(trials[1].at("outcome") == "held");
  CHECK(document.at("speeds").at("holds_everywhere_rpm") == 6000);
}

TEST_CASE("speed raised instead of lowered: it chatters there, too, and no speed has held") {
  const test::BenchFolder bench;
  const auto session = wall("1", "7140");
  const auto trials = trials_of(bench, session);
  REQUIRE(trials.size() == 2);
  CHECK(trials[1].at("outcome") == "chattered");
  CHECK(trials[1].at("spindle_rpm") == 7140);
}

TEST_CASE("cleared, then back in the corner, lap after lap: it came back, with its period and what to do") {
  const test::BenchFolder bench;
  const auto session = tray("7560");
  const auto trials = trials_of(bench, session);
  REQUIRE(trials.size() == 2);
  const Json& after = trials[1];
  CHECK(after.at("outcome") == "returned");
  REQUIRE(after.at("returns_s").size() >= 3);
  CHECK(after.at("returns_s")[0] > 9);
  REQUIRE(after.at("laps").is_object());
  // Derived: 45 mm from corner to corner at 3 flutes, 0.05 mm and 7560 rev/min are 2.38 s.
  CHECK_THAT(after.at("laps").at("period_s").get<double>(), WithinAbs(60 * 45 / (3 * 0.05 * 7560), 0.15));
  const auto text = text_of(bench, session);
  CHECK_THAT(text, Contains("came back: quiet for "));
  CHECK_THAT(text, Contains("survives the worst spot"));
}

TEST_CASE("a speed that is quiet in the corners, too, holds") {
  const test::BenchFolder bench;
  const auto trials = trials_of(bench, tray("9240", "16"));
  REQUIRE(trials.size() == 2);
  CHECK(trials[0].at("outcome") == "returned");
  CHECK(trials[1].at("outcome") == "held");
}

TEST_CASE("tags say which speed held where, and the hold can be asked to be longer") {
  const test::BenchFolder bench;
  // Corners of the tray at 8400 rev/min stand at 4.1, 6.3 … s; with one lap of 2.14 s.
  Words tags{"--tag", "2:20:wall"};
  for (const char* corner : {"3.9:4.7", "6:6.7", "8.2:9"}) {
    tags.push_back("--tag");
    tags.push_back(std::string(corner) + ":corner");
  }
  const Session session{{"--scene", "tray-pocket", "--for-s", "10"}, "8400", "3", {}};
  bench.simulate("session.wav", session.scene);
  const auto document = bench.review("session.wav", "8400", "3", tags);
  CHECK(test::shape_trouble(document) == "");
  const auto& places = document.at("speeds").at("rows")[0].at("places");
  REQUIRE(places.size() == 2);
  CHECK(places[0].at("place") == "wall");
  CHECK(places[0].at("outcome") == "held");
  CHECK(places[1].at("place") == "corner");
  CHECK(places[1].at("outcome") == "returned");
  CHECK(document.at("speeds").at("holds_everywhere_rpm").is_null());

  bench.simulate("steady.wav", test::kHealthyWall);
  CHECK(bench.review("steady.wav", "6800", "4").at("trials")[0].at("outcome") == "held");
  CHECK(bench.review("steady.wav", "6800", "4", {"--hold-s", "5"}).at("trials")[0].at("outcome") == "not_enough");
}

TEST_CASE("a trial at a speed that the sound contradicts is not believed and never held") {
  const test::BenchFolder bench;
  bench.simulate("steady.wav", test::kHealthyWall);
  CHECK(bench.review("steady.wav", "6120", "4").at("trials")[0].at("outcome") == "not_enough");
  bench.simulate("wall.wav", test::kChatteringWall);
  const auto document = bench.review("wall.wav", "6120", "4");
  REQUIRE(document.at("trials").size() == 1);
  const Json& trial = document.at("trials")[0];
  CHECK(trial.at("outcome") == "chattered");  // that was heard, though not at 6120
  REQUIRE(trial.at("heard_as").is_object());
  CHECK_THAT(trial.at("heard_as").at("spindle_rpm").get<double>(), WithinAbs(6800, 30));
  CHECK(document.at("speeds").at("rows").empty());
}

TEST_CASE("a new speed that was typed wrong has not held, and the heard one is named") {
  const test::BenchFolder bench;
  auto session = wall("1", "6120");
  bench.simulate("session.wav", {"--scene", "bracket-wall", "--seed", "1", "--depth-at", "4:3", "--for-s", "15", "--rpm-at", "8:6120"});
  const auto document = bench.review("session.wav", "6800", "4", {"--rpm-at", "8:7140"});
  const Json& last = document.at("trials").back();
  CHECK(last.at("outcome") == "not_enough");
  CHECK(last.at("speed_heard") == false);
  REQUIRE(last.at("heard_as").is_object());
  CHECK_THAT(last.at("heard_as").at("spindle_rpm").get<double>(), WithinAbs(6117, 10));
  REQUIRE(document.at("other_fit").is_object());
  session.change = {"--rpm-at", "8:7140"};
  const auto text = text_of(bench, session);
  CHECK(text.find("held") == std::string::npos);
  CHECK(text.find("Stay with it") == std::string::npos);
  // Turned and not typed at all: said, with the time; the advice for the speed that chattered stays.
  const auto untyped = bench.review("session.wav", "6800", "4");
  REQUIRE(untyped.at("other_fit").is_object());
  CHECK_THAT(untyped.at("other_fit").at("spindle_rpm").get<double>(), WithinAbs(6117, 10));
  CHECK(untyped.at("trials")[0].at("heard_as_since_s").get<double>() > 8);
  CHECK(untyped.at("advice").at("lower").is_object());
  session.change.clear();
  CHECK(text_of(bench, session).find("If the knob was turned there, --rpm-at ") != std::string::npos);
  CHECK(text.find("If the knob was turned there") != std::string::npos);  // typed wrong: it says what would be right
}

TEST_CASE("air alone and a recording that stops short tell nothing; there is always one trial") {
  const test::BenchFolder bench;
  bench.simulate("air.wav", {"--air-s", "60", "--for-s", "4"});
  const auto trials = bench.review("air.wav", "6800", "4").at("trials");
  REQUIRE(trials.size() == 1);
  CHECK(trials[0].at("outcome") == "not_enough");
  CHECK(trials[0].at("quiet_s") == 0);
}

TEST_CASE("watching tells the same trials as a review, and calls quiet what is only quiet so far") {
  const test::BenchFolder bench;
  const auto session = wall("1", "6000");
  const auto trials = trials_of(bench, session);
  Words words{"watch", "--source", "recording", "--file", bench.path("session.wav"), "--rpm", "6800", "--flutes", "4"};
  words.insert(words.end(), session.change.begin(), session.change.end());
  const auto text = bench.hushmill(words);
  CHECK(text.code == 0);
  const auto so_far = text.out.find("quiet so far, 1 s; 3 s of cut are wanted");
  CHECK(so_far != std::string::npos);
  CHECK(text.out.find("held") > so_far);

  words.push_back("--json");
  std::istringstream lines(bench.hushmill(words).out);
  std::vector<Json> ended;
  for (std::string line; std::getline(lines, line);)
    if (auto event = Json::parse(line); event.at("event") == "trial_ends") ended.push_back(std::move(event));
  REQUIRE(ended.size() == trials.size());
  for (std::size_t i = 0; i < trials.size(); ++i) {
    CHECK(ended[i].at("trial") == i + 1);
    for (const auto& [field, value] : trials[i].items()) {
      INFO(field);
      CHECK(ended[i].at(field) == value);
    }
  }
}

TEST_CASE("options of trials that make no sense are refused in one line") {
  const test::BenchFolder bench;
  bench.simulate("steady.wav", test::kHealthyWall);
  const auto trouble = [&](const Words& more, const Words& parts) {
    Words words{"review", bench.path("steady.wav"), "--rpm", "6800", "--flutes", "4"};
    words.insert(words.end(), more.begin(), more.end());
    return test::complaint_trouble(bench.hushmill(words), 2, parts);
  };
  CHECK(trouble({"--hold-s", "0"}, {"--hold-s", "'0'", "0.1 to 3600"}) == "");
  CHECK(trouble({"--tag", "1:2:hill"}, {"--tag", "1:2:hill", "wall, corner, slot, entry, floor"}) == "");
  CHECK(trouble({"--tag", "wall"}, {"--tag", "'wall'", "4.1:4.6:corner"}) == "");
  CHECK(trouble({"--tag", "3:2:wall"}, {"--tag", "3:2:wall", "earlier time first"}) == "");
  CHECK(trouble({"--tag", "x:2:wall"}, {"--tag", "'x'"}) == "");
  // Stretches that overlap are named, and which of them counts.
  const auto overlap = bench.hushmill({"review", bench.path("steady.wav"), "--rpm", "6800", "--flutes", "4", "--tag", "1:3:wall", "--tag", "2:4:corner"});
  CHECK(overlap.code == 0);
  CHECK(overlap.err == "hushmill: --tag 1:3:wall and 2:4:corner overlap: from 2 to 3 s it is taken as corner, which was given last\n");
  CHECK(trouble({"--tag", "60:70:wall"}, {"--tag", "60", "after the end"}) == "");
}
