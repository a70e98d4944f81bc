#include "dashboard/text_fit.hpp"

#include <algorithm>
#include <cmath>

namespace hushmill::dashboard {
namespace {

constexpr std::string_view kEllipsis = "\xE2\x80\xA6";
constexpr float kSlackPx = 0.01F;

/// Takes the last whole character (UTF-8) away.
std::string_view without_last(std::string_view text) {
  while (!text.empty() && (static_cast<unsigned char>(text.back()) & 0xC0U) == 0x80U) text.remove_suffix(1);
  if (!text.empty()) text.remove_suffix(1);
  return text;
}

Words shortened_to(std::string_view text, float width_px, float size_px, const Measure& measure) {
  while (!text.empty() && measure(Words(text) + kEllipsis, size_px) > width_px) text = without_last(text);
  while (!text.empty() && text.back() == ' ') text.remove_suffix(1);
  return Words(text) + kEllipsis;
}

bool all_fit(std::string_view text, float width_px, float size_px, const Measure& measure) {
  bool fit = true;
  each_line(text, [&](std::string_view line) { fit = fit && measure(line, size_px) <= width_px + kSlackPx; });
  return fit;
}

std::size_t room_for_lines(const FitSettings& settings, float size_px) {
  const float fit = 1 + ((settings.height_px + kSlackPx) / size_px - 1) / settings.line_height;
  return static_cast<std::size_t>(std::clamp(static_cast<int>(std::floor(fit)), 0, settings.most_lines));
}

/// All lines from that number on as one.
Words joined_from(const Words& text, std::size_t last) {
  Words joined;
  std::size_t number = 0;
  each_line(text, [&](std::string_view line) {
    if (!joined.empty()) joined.push_back(number > last ? ' ' : '\n');
    joined.append(line);
    ++number;
  });
  return joined;
}

}  // namespace

std::string_view Fitted::line(std::size_t number) const noexcept {
  std::string_view found;
  each_line(text, [&](std::string_view one) {
    if (number-- == 0) found = one;
  });
  return found;
}

Words wrap(std::string_view text, float width_px, float size_px, const Measure& measure) {
  Words lines;
  std::size_t line_at = 0;
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t end = std::min(text.find(' ', at), text.size());
    const std::string_view word = text.substr(at, end - at);
    at = end + 1;
    if (word.empty()) continue;
    const std::size_t before = lines.size();
    const bool first = before == line_at;
    if (!first) lines.push_back(' ');
    lines.append(word);
    if (first || measure(lines.view().substr(line_at), size_px) <= width_px + kSlackPx) continue;
    lines.put(before, '\n');
    line_at = before + 1;
  }
  return lines;
}

Fitted fit_text(std::string_view text, const FitSettings& settings, const Measure& measure) {
  Fitted fitted;
  for (const float size_px : settings.sizes_px) {
    fitted.size_px = size_px;
    fitted.text = settings.most_lines == 1 ? Words(text) : wrap(text, settings.width_px, size_px, measure);
    // At the smallest size one line is always allowed, however low the box.
    const bool smallest = size_px == settings.sizes_px.back();
    const std::size_t room = std::max<std::size_t>(smallest ? 1 : 0, room_for_lines(settings, size_px));
    if (fitted.count() <= room && all_fit(fitted.text, settings.width_px, size_px, measure)) return fitted;
  }
  const std::size_t room = std::max<std::size_t>(1, room_for_lines(settings, fitted.size_px));
  if (fitted.count() > room) fitted.text = joined_from(fitted.text, room - 1);
  Words lines;
  each_line(fitted.text, [&](std::string_view line) {
    if (!lines.empty()) lines.push_back('\n');
    const bool wide = measure(line, fitted.size_px) > settings.width_px + kSlackPx;
    lines.append(wide ? shortened_to(line, settings.width_px, fitted.size_px, measure) : Words(line));
  });
  fitted.text = lines;
  fitted.shortened = true;
  return fitted;
}

Fitted fit_choice(std::span<const Words> spellings, const FitSettings& settings, const Measure& measure) {
  for (const Words& spelling : spellings) {
    for (const float size_px : settings.sizes_px) {
      const bool high_enough = size_px <= settings.height_px + kSlackPx || size_px == settings.sizes_px.back();
      if (high_enough && measure(spelling, size_px) <= settings.width_px + kSlackPx)
        return {spelling, size_px, false};
    }
  }
  return {{}, settings.sizes_px.empty() ? 0.0F : settings.sizes_px.back(), true};
}

}  // namespace hushmill::dashboard
