// The report from the command line: of a recording and of a session in the journal, HTML and PDF.
#include <fstream>
#include <limits>
#include <sstream>

#include "app/bench_folder.hpp"
#include "journal/journal.hpp"
#include "support/catch.hpp"
#include "support/wav.hpp"

using namespace hushmill;
using test::Words;

namespace {

std::string text_of(const std::string& file) {
  std::ostringstream text;
  text << std::ifstream(file, std::ios::binary).rdbuf();
  return text.str();
}

std::size_t count_of(const std::string& text, const std::string& part) {
  std::size_t count = 0;
  for (auto at = text.find(part); at != std::string::npos; at = text.find(part, at + 1)) ++count;
  return count;
}

std::vector<std::string> pictures_in(const std::string& html) {
  const std::string begin = "data:image/svg+xml;base64,";
  std::vector<std::string> pictures;
  for (auto at = html.find(begin); at != std::string::npos; at = html.find(begin, at + 1)) pictures.push_back(html.substr(at, html.find('"', at) - at));
  return pictures;
}

}  // namespace

TEST_CASE("a recording becomes a report with its figures, pictures and cautions") {
  const test::BenchFolder bench;
  bench.simulate("cut.wav", test::kChatteringWall);
  const auto run = bench.hushmill({"report", bench.path("cut.wav"), "--rpm", "6800", "--flutes", "4", "--feed-mm-min", "1632", "--out", bench.path("r.html")});
  CAPTURE(run.err);
  REQUIRE(run.code == 0);
  CHECK(run.out.find("Chatter was heard once") != std::string::npos);
  const std::string html = text_of(bench.path("r.html"));
  const auto review = bench.review("cut.wav", "6800", "4", {"--feed-mm-min", "1632"});
  const auto& lower = review.at("advice").at("lower");
  REQUIRE(lower.is_object());
  char words[64];
  std::snprintf(words, sizeof words, "S%.0f F%.0f", lower.at("spindle_rpm").get<double>(), lower.at("feed_mm_min").get<double>());
  for (const std::string& part : {std::string(words), std::string("Advice only"), std::string("SHA-256"), std::string("--rpm 6800 --flutes 4 --feed-mm-min 1632"), std::string("6800 rev/min")}) {
    CAPTURE(part);
    CHECK(html.find(part) != std::string::npos);
  }
  CHECK(count_of(html, "data:image/svg+xml;base64,") == 3);  // timeline, spectrum, spectrogram
  for (const char* paper : {"a4", "letter"}) {
    REQUIRE(bench.hushmill({"report", bench.path("cut.wav"), "--rpm", "6800", "--flutes", "4", "--out", bench.path("r.pdf"), "--paper", paper}).code == 0);
    CHECK(text_of(bench.path("r.pdf")).starts_with("%PDF-"));
  }
}

TEST_CASE("what is no sound is silent in the report's pictures, as it is for the engine") {
  const test::BenchFolder bench;
  bench.simulate("cut.wav", test::kChatteringWall);
  auto sound = test::read_16_bit_wav(bench.path("cut.wav"));
  const auto episodes = bench.review("cut.wav", "6800", "4").at("episodes");
  REQUIRE_FALSE(episodes.empty());
  const auto in_chatter = static_cast<std::size_t>((episodes.at(0).at("start_s").get<double>() + 0.2) * sound.sample_rate_hz);
  std::vector<std::vector<std::string>> pictures;
  for (const float sample : {0.0F, std::numeric_limits<float>::infinity(), 3e38F}) {
    sound.samples.at(in_chatter) = sample;
    test::write_bytes(bench.path("mended.wav"), test::float_wav(static_cast<int>(sound.sample_rate_hz), 1, sound.samples));
    REQUIRE(bench.hushmill({"report", bench.path("mended.wav"), "--rpm", "6800", "--flutes", "4", "--out", bench.path("r.html")}).code == 0);
    pictures.push_back(pictures_in(text_of(bench.path("r.html"))));
  }
  CHECK(pictures[0].size() == 3);
  CHECK(pictures[1] == pictures[0]);
  CHECK(pictures[2] == pictures[0]);
}

TEST_CASE("a session becomes a report; nasty names do no harm, and a recording that was changed is not pictured") {
  const test::BenchFolder bench;
  bench.simulate("cut.wav", test::kChatteringWall);
  REQUIRE(bench.hushmill({"watch", "--source", "recording", "--file", bench.path("cut.wav"), "--rpm", "6800", "--flutes", "4", "--journal",
                          "--data", bench.path("data"), "--job", "../../x", "--tool", "<script>alert(1)</script>", "--material", "\xff\x02"}).code == 0);
  const Words report{"report", "--session", "1", "--data", bench.path("data"), "--out", bench.path("r.html")};
  REQUIRE(bench.hushmill(report).code == 0);
  std::string html = text_of(bench.path("r.html"));
  CHECK(html.find("<script") == std::string::npos);
  CHECK(html.find("&lt;script&gt;") != std::string::npos);
  CHECK(html.find("../../x") != std::string::npos);
  CHECK(count_of(html, "data:image/svg+xml;base64,") == 3);

  std::fstream(bench.path("cut.wav"), std::ios::binary | std::ios::in | std::ios::out).seekp(1000).put('\x55');
  REQUIRE(bench.hushmill(report).code == 0);
  html = text_of(bench.path("r.html"));
  CHECK(count_of(html, "data:image/svg+xml;base64,") == 1);
  CHECK(html.find("is not the one that was kept") != std::string::npos);
}

TEST_CASE("a session of ten hours with eighteen hundred times of chatter still becomes a report") {
  const test::BenchFolder bench;
  {
    journal::Journal journal(bench.path("data"));
    journal::SessionRow session;
    session.started_utc = "2026-11-26T09:15:00.000Z";
    session.source_kind = "microphone";
    session.source = "built-in";
    session.sample_rate_hz = 48000;
    const auto id = journal.begin_session(session);
    journal.together([&] {
      for (int i = 0; i < 1800; ++i) {
        journal::CutRow cut;
        cut.number = i + 1;
        cut.start_s = 20.0 * i + 2;
        cut.end_s = 20.0 * i + 18;
        journal.put(id, cut);
        journal::EpisodeRow episode;
        episode.number = i + 1;
        episode.start_s = 20.0 * i + 8;
        episode.alert_s = episode.start_s + 0.2;
        episode.end_s = episode.start_s + 4;
        episode.chatter_hz = 1370;
        episode.kind = "hopf";
        episode.entered_rpm = 6800;
        journal.put(id, episode);
      }
      journal.end_session(id, "2026-11-26T19:15:00.000Z", 36000);
    });
  }
  for (const char* name : {"r.html", "r.pdf"}) {
    REQUIRE(bench.hushmill({"report", "--session", "1", "--data", bench.path("data"), "--out", bench.path(name)}).code == 0);
    CHECK(text_of(bench.path(name)).size() < 3'000'000);
  }
  CHECK(text_of(bench.path("r.html")).find("1800 times of chatter in all") != std::string::npos);
}

TEST_CASE("the report's options complain in one line, and a report that cannot be written leaves nothing") {
  const test::BenchFolder bench;
  const auto complaint = [&](const Words& words, int code, const Words& parts) { return test::complaint_trouble(bench.hushmill(words), code, parts); };
  CHECK(complaint({"report", "--out", bench.path("r.html")}, 2, {"--session", "would be right"}) == "");
  CHECK(complaint({"report", bench.path("x.wav"), "--out", bench.path("r.html")}, 2, {"--rpm is missing", "would be right"}) == "");
  CHECK(complaint({"report", bench.path("x.wav"), "--rpm", "6000", "--flutes", "4", "--out", bench.path("r.html")}, 2, {"no such file"}) == "");
  CHECK(complaint({"report", "--session", "1", "--data", bench.path("none"), "--out", bench.path("r.html")}, 2, {"no journal in"}) == "");
  CHECK(complaint({"report", "--session", "1", "--out", bench.path("r.txt")}, 2, {".html or .pdf would be right"}) == "");
  CHECK(complaint({"report", "--session", "1", "--paper", "a3", "--out", bench.path("r.pdf")}, 2, {"a4 or letter would be right"}) == "");
  bench.simulate("cut.wav", test::kHealthyWall);
  CHECK(complaint({"report", bench.path("cut.wav"), "--rpm", "6800", "--flutes", "4", "--out", "/proc/hushmill-test.html"}, 1, {"cannot be written"}) == "");
}
