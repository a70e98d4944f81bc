// HTML and PDF: what is said stands in both, and no text from outside can do harm in either.
#include "report/writers.hpp"

#include <algorithm>
#include <cmath>

#include "support/catch.hpp"

using namespace hushmill;

namespace {

const std::string kNasty = "<script>alert(1)</script> ../../x \" onload='y' & \xff\xfe \x01 \xE2\x82";

report::Content content_with(const std::string& text) {
  report::Content content;
  content.title = "Cut report: " + text;
  content.subtitle = text;
  content.verdict = text;
  content.cut = {{text, text}, {"Flutes", "4"}};
  content.timeline = {20, {{2, 18}}, {{5, 7, 1370}}, {{0, 6000}, {9, 5400}}};
  report::EpisodePart part;
  part.title = text;
  part.facts = {{"Where", text}};
  report::EpisodeSound sound;
  sound.sample_rate_hz = 48000;
  sound.from_s = 4;
  sound.alert_s = 5;
  sound.chatter_hz = 1370;
  sound.tooth_hz = 400;
  for (int i = 0; i < 96000; ++i) sound.samples.push_back(0.2f * static_cast<float>(std::sin(0.18 * i)));
  part.sound = sound;
  part.advice = {text};
  content.episodes = {part};
  content.trials = {{"Time", "Speed"}, {text, "S5400 F1296"}};
  content.held = {"S5400 F1296 held"};
  content.other = {text};
  content.warnings = {text};
  content.notes = {text};
  content.cautions = {"Advice only."};
  content.made = {{"Settings", text}};
  content.footer = text;
  return content;
}

std::size_t count_of(const std::string& text, const std::string& part) {
  std::size_t count = 0;
  for (auto at = text.find(part); at != std::string::npos; at = text.find(part, at + 1)) ++count;
  return count;
}

}  // namespace

TEST_CASE("text from outside cannot become markup, whatever it holds") {
  const std::string html = report::to_html(content_with(kNasty));
  CHECK(count_of(html, "<script") == 0);
  CHECK(html.find("&lt;script&gt;alert(1)&lt;/script&gt; ../../x &quot; onload=&#39;y&#39; &amp;") != std::string::npos);
  CHECK(html.find('\x01') == std::string::npos);
  CHECK(html.find('\xff') == std::string::npos);
  // As many tags with harmless text as with harmful.
  const std::string plain = report::to_html(content_with("plain"));
  CHECK(count_of(html, "<") == count_of(plain, "<"));
  CHECK(count_of(html, ">") == count_of(plain, ">"));
}

TEST_CASE("the HTML stands alone: pictures inside, no script, nothing to fetch") {
  const std::string html = report::to_html(content_with("plain"));
  CHECK(html.starts_with("<!DOCTYPE html>"));
  CHECK(html.ends_with("</html>\n"));
  CHECK(count_of(html, "src=\"data:image/svg+xml;base64,") == 3);
  CHECK(count_of(html, "src=") == 3);
  CHECK(html.find("http:") == std::string::npos);
  CHECK(html.find("https:") == std::string::npos);
  CHECK(html.find("default-src 'none'") != std::string::npos);
  for (const char* part : {"S5400 F1296 held", "Advice only.", "@media print", "<h2>Cautions</h2>"}) {
    CAPTURE(part);
    CHECK(html.find(part) != std::string::npos);
  }
}

TEST_CASE("the PDF is made on both papers, whatever the text holds") {
  for (const auto paper : {picture::Paper::a4, picture::Paper::letter}) {
    const std::string pdf = report::to_pdf(content_with(kNasty), paper);
    CHECK(pdf.starts_with("%PDF-"));
    CHECK(pdf.find("%%EOF") != std::string::npos);
    CHECK(pdf.size() > 10000);
  }
}

TEST_CASE("a long report goes over pages, and an empty one is still whole") {
  auto content = content_with("plain");
  for (int i = 0; i < 400; ++i) content.trials.push_back({std::to_string(i), "S6000"});
  content.notes.push_back(std::string(20000, 'w'));  // one word longer than a page
  picture::Pages pages(picture::Paper::a4, "t", "f");
  for (int i = 0; i < 400; ++i) pages.paragraph("line");
  CHECK(pages.pages() > 4);
  CHECK(report::to_pdf(content, picture::Paper::a4).size() > 20000);
  CHECK(report::to_html(content).size() > 20000);
  CHECK(report::to_pdf({}, picture::Paper::letter).starts_with("%PDF-"));
  CHECK(report::to_html({}).ends_with("</html>\n"));
}
