#include <algorithm>
#include <cmath>

#include "report/figures.hpp"
#include "report/writers.hpp"

namespace hushmill::report {
namespace {

// About what these take on a page, points.
constexpr double kHeadingHeight = 30, kFactHeight = 17, kCaptionHeight = 24;

using picture::Pages;

void facts(Pages& pages, const Facts& facts) {
  Rows rows;
  for (const auto& [name, value] : facts) rows.push_back({name, value});
  if (!rows.empty()) pages.table({0.28, 0.72}, rows, false);
}

void list(Pages& pages, const std::vector<std::string>& lines) {
  Rows rows;
  for (const auto& line : lines) rows.push_back({"\xE2\x80\xA2", line});  // a bullet
  if (!rows.empty()) pages.table({0.03, 0.97}, rows, false);
}

double longest_word(const std::string& text) {
  std::size_t longest = 0;
  for (std::size_t from = 0; from < text.size();) {
    const auto to = std::min(text.find(' ', from), text.size());
    longest = std::max(longest, to - from);
    from = to + 1;
  }
  return static_cast<double>(std::min<std::size_t>(longest, 8));
}

/// Wider columns for longer cells; by the root, so that a sentence wraps rather than crowding the figures out.
std::vector<double> shares_for(const Rows& rows) {
  std::vector<double> shares(rows.front().size(), 6.0);
  for (const auto& row : rows) {
    for (std::size_t i = 0; i < std::min(row.size(), shares.size()); ++i) shares[i] = std::max(shares[i], static_cast<double>(row[i].size()));
  }
  for (double& share : shares) share = std::sqrt(share);
  // A word that does not fit would be broken.
  for (const auto& row : rows)
    for (std::size_t i = 0; i < std::min(row.size(), shares.size()); ++i) shares[i] = std::max(shares[i], 0.9 * longest_word(row[i]));
  return shares;
}

void chapter(Pages& pages, const char* title, const std::vector<std::string>& lines) {
  if (lines.empty()) return;
  pages.heading(title, 2);
  list(pages, lines);
}

}  // namespace

std::string to_pdf(const Content& content, picture::Paper paper) {
  Pages pages(paper, content.title, content.footer);
  pages.heading(content.title, 1);
  pages.paragraph(content.subtitle);
  pages.space(4);
  pages.paragraph(content.verdict, true);
  pages.heading("What was cut, and with what", 2);
  facts(pages, content.cut);
  pages.keep_together(kHeadingHeight + kTimelineHeight + kCaptionHeight);
  pages.heading("Timeline", 2);
  pages.figure(kTimelineHeight, [&](picture::Canvas& canvas) { draw_timeline(canvas, content.timeline); });
  pages.paragraph("Grey: tool in the cut. Black: chatter, with its frequency. Dashed: the entered speed.");
  chapter(pages, "Speeds that held", content.held);
  if (!content.speeds.empty()) {
    pages.heading("Which speed held where", 2);
    pages.table(shares_for(content.speeds), content.speeds, true);
    pages.paragraph(content.best_speed, true);
  }
  if (!content.trials.empty()) {
    pages.heading("Trials: each stretch of one entered speed", 2);
    pages.table(shares_for(content.trials), content.trials, true);
  }
  for (const EpisodePart& part : content.episodes) {
    // Its facts and the first picture belong on one page, its second with its own words; the chapter's title goes with the first.
    const bool first = &part == &content.episodes.front();
    if (part.sound)
      pages.keep_together((first ? 2 : 1) * kHeadingHeight + kFactHeight * static_cast<double>(part.facts.size()) + kSpectrumHeight + kCaptionHeight);
    if (first) pages.heading("Chatter", 2);
    pages.heading(part.title, 3);
    facts(pages, part.facts);
    if (part.sound) {
      pages.figure(kSpectrumHeight, [&](picture::Canvas& canvas) { draw_spectrum(canvas, *part.sound); });
      pages.paragraph("Spectrum over half a second from when it was heard as chatter; ticks beneath: tooth multiples.");
      pages.keep_together(kSpectrogramHeight + kCaptionHeight);
      pages.figure(kSpectrogramHeight, [&](picture::Canvas& canvas) { draw_spectrogram(canvas, *part.sound); });
      pages.paragraph("Spectrogram: the darker the louder, 50 dB from white to black.");
    } else if (!part.no_sound.empty()) {
      pages.paragraph(part.no_sound);
    }
    list(pages, part.advice);
  }
  if (!content.more_episodes.empty()) pages.paragraph(content.more_episodes);
  chapter(pages, "What else was advised", content.other);
  chapter(pages, "Terms", content.words);
  chapter(pages, "What weakens this", content.warnings);
  chapter(pages, "Notes", content.notes);
  chapter(pages, "Cautions", content.cautions);
  pages.heading("How this was made", 2);
  facts(pages, content.made);
  return pages.finish();
}

}  // namespace hushmill::report
