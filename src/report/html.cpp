#include <array>
#include <cstdint>
#include <functional>

#include "text/outside_text.hpp"
#include "report/figures.hpp"
#include "report/writers.hpp"

namespace hushmill::report {
namespace {

constexpr double kFigureWidth = 520;

// Base 64 (RFC 4648, 2006, section 4).
std::string base64(const std::string& bytes) {
  constexpr std::string_view kLetters = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
  std::string text;
  for (std::size_t at = 0; at < bytes.size(); at += 3) {
    std::uint32_t three = 0;
    const std::size_t count = std::min<std::size_t>(3, bytes.size() - at);
    for (std::size_t i = 0; i < 3; ++i) three = three << 8 | (i < count ? static_cast<unsigned char>(bytes[at + i]) : 0U);
    for (std::size_t i = 0; i < 4; ++i) text += i <= count ? kLetters[three >> (18 - 6 * i) & 63U] : '=';
  }
  return text;
}

std::string figure(double height, const std::string& words, const std::function<void(picture::Canvas&)>& draw) {
  picture::Canvas canvas(picture::Canvas::InMemory{}, kFigureWidth, height);
  draw(canvas);
  canvas.finish();
  return "<figure><img alt=\"" + escaped(words) + "\" src=\"data:image/svg+xml;base64," + base64(canvas.svg()) + "\"><figcaption>" +
         escaped(words) + "</figcaption></figure>\n";
}

std::string facts(const Facts& facts) {
  if (facts.empty()) return {};
  std::string text = "<table class=\"facts\">\n";
  for (const auto& [name, value] : facts) text += "<tr><th>" + escaped(name) + "</th><td>" + escaped(value) + "</td></tr>\n";
  return text + "</table>\n";
}

std::string list(const std::vector<std::string>& lines) {
  if (lines.empty()) return {};
  std::string text = "<ul>\n";
  for (const auto& line : lines) text += "<li>" + escaped(line) + "</li>\n";
  return text + "</ul>\n";
}

std::string chapter(const char* title, const std::string& inside) {
  return inside.empty() ? std::string() : std::string("<section>\n<h2>") + title + "</h2>\n" + inside + "</section>\n";
}

std::string rows(const Rows& rows) {
  if (rows.empty()) return {};
  // The head is its own group: on paper it is repeated on every page.
  std::string text = "<table class=\"rows\">\n<thead>\n";
  for (std::size_t i = 0; i < rows.size(); ++i) {
    text += "<tr>";
    for (const auto& cell : rows[i]) text += (i == 0 ? "<th>" : "<td>") + escaped(cell) + (i == 0 ? "</th>" : "</td>");
    text += i == 0 ? "</tr>\n</thead>\n<tbody>\n" : "</tr>\n";
  }
  return text + "</tbody>\n</table>\n";
}

constexpr const char* kStyle = R"css(
:root{color-scheme:light}
body{font:15px/1.45 B612,"DejaVu Sans",Arial,sans-serif;color:#141414;background:#fff;max-width:46rem;margin:2rem auto;padding:0 1rem}
h1{font-size:1.7rem;margin:0 0 .2rem}h2{font-size:1.2rem;margin:1.6rem 0 .4rem;border-bottom:1px solid #999}h3{font-size:1rem;margin:1.1rem 0 .3rem}
.sub{color:#444;margin:0 0 1rem}.verdict{font-weight:bold;border-left:.4rem solid #141414;padding:.3rem .8rem;margin:1rem 0}
table{border-collapse:collapse;width:100%;margin:.4rem 0}th,td{text-align:left;vertical-align:top;padding:.15rem .8rem .15rem 0;overflow-wrap:break-word}
.facts td{overflow-wrap:anywhere}.facts th{width:13rem;font-weight:normal;color:#444}.rows th{border-bottom:1.5px solid #141414}.rows td{border-bottom:1px solid #ccc}
figure{margin:.6rem 0}img{width:100%;height:auto}figcaption{font-size:.85rem;color:#444}
.cautions{border:1.5px solid #141414;padding:.2rem 1rem}footer{margin-top:2rem;font-size:.85rem;color:#444}
@page{margin:16mm}
@media print{body{max-width:none;margin:0;padding:0;font-size:10pt}h2,h3{break-after:avoid}thead{display:table-header-group}.rows{break-before:avoid}figcaption{break-before:avoid}figure,tr,.cautions,.chatter{break-inside:avoid}}
)css";

}  // namespace

std::string escaped(const std::string& text) {
  std::string safe;
  for (const char c : text::clean_lines(text)) {
    switch (c) {
      case '&': safe += "&amp;"; break;
      case '<': safe += "&lt;"; break;
      case '>': safe += "&gt;"; break;
      case '"': safe += "&quot;"; break;
      case '\'': safe += "&#39;"; break;
      default: safe += c;
    }
  }
  return safe;
}

std::string to_html(const Content& content) {
  // The policy forbids even what a slip in the escaping would let in.
  std::string text =
      "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
      "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; img-src data:; style-src 'unsafe-inline'\">\n"
      "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<title>" +
      escaped(content.title) + "</title>\n<style>" + kStyle + "</style>\n</head>\n<body>\n<h1>" + escaped(content.title) +
      "</h1>\n<p class=\"sub\">" + escaped(content.subtitle) + "</p>\n<p class=\"verdict\">" + escaped(content.verdict) + "</p>\n";
  text += chapter("What was cut, and with what", facts(content.cut));
  text += chapter("Timeline", figure(kTimelineHeight, "Grey: tool in the cut. Black: chatter, with its frequency. Dashed: the entered speed.",
                                     [&](picture::Canvas& canvas) { draw_timeline(canvas, content.timeline); }));
  text += chapter("Speeds that held", list(content.held));
  text += chapter("Which speed held where", rows(content.speeds) + (content.best_speed.empty() ? "" : "<p><strong>" + escaped(content.best_speed) + "</strong></p>\n"));
  text += chapter("Trials: each stretch of one entered speed", rows(content.trials));
  std::string episodes;
  for (const EpisodePart& part : content.episodes) {
    // On paper its facts and the first picture stay together.
    episodes += "<div class=\"chatter\">\n<h3>" + escaped(part.title) + "</h3>\n" + facts(part.facts);
    if (part.sound) {
      episodes += figure(kSpectrumHeight, "Spectrum over half a second from when it was heard as chatter; ticks beneath: tooth multiples.",
                         [&](picture::Canvas& canvas) { draw_spectrum(canvas, *part.sound); });
      episodes += "</div>\n" + figure(kSpectrogramHeight, "Spectrogram: the darker the louder, 50 dB from white to black.",
                         [&](picture::Canvas& canvas) { draw_spectrogram(canvas, *part.sound); });
    } else if (!part.no_sound.empty()) {
      episodes += "<p>" + escaped(part.no_sound) + "</p>\n</div>\n";
    } else {
      episodes += "</div>\n";
    }
    episodes += list(part.advice);
  }
  if (!content.more_episodes.empty()) episodes += "<p>" + escaped(content.more_episodes) + "</p>\n";
  text += chapter("Chatter", episodes);
  text += chapter("What else was advised", list(content.other));
  text += chapter("Terms", list(content.words));
  text += chapter("What weakens this", list(content.warnings));
  text += chapter("Notes", list(content.notes));
  text += "<section class=\"cautions\">\n<h2>Cautions</h2>\n" + list(content.cautions) + "</section>\n";
  text += chapter("How this was made", facts(content.made));
  return text + "<footer>" + escaped(content.footer) + "</footer>\n</body>\n</html>\n";
}

}  // namespace hushmill::report
