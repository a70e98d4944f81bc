#include "dashboard/text_fit.hpp"

#include <algorithm>
#include <cmath>

namespace hushmill::dashboard {
namespace {

constexpr std::string_view kEllipsis = "\xE2\x80\xA6";
constexpr float kSlackPx = 0.01F;

/// Takes the last whole character (UTF-8) away.
void drop_last_character(std::string& text) {
  while (!text.empty() && (static_cast<unsigned char>(text.back()) & 0xC0U) == 0x80U) text.pop_back();
  if (!text.empty()) text.pop_back();
}

std::string shortened_to(std::string text, float width_px, float size_px, const Measure& measure) {
  while (!text.empty() && measure(text + std::string(kEllipsis), size_px) > width_px) drop_last_character(text);
  while (!text.empty() && text.back() == ' ') text.pop_back();
  return text + std::string(kEllipsis);
}

bool all_fit(const std::vector<std::string>& lines, float width_px, float size_px, const Measure& measure) {
  return std::all_of(lines.begin(), lines.end(),
                     [&](const std::string& line) { return measure(line, size_px) <= width_px + kSlackPx; });
}

std::size_t room_for_lines(const FitSettings& settings, float size_px) {
  const float fit = 1 + ((settings.height_px + kSlackPx) / size_px - 1) / settings.line_height;
  return static_cast<std::size_t>(std::clamp(static_cast<int>(std::floor(fit)), 0, settings.most_lines));
}

}  // namespace

std::vector<std::string> wrap(std::string_view text, float width_px, float size_px, const Measure& measure) {
  std::vector<std::string> lines;
  std::string line;
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t end = std::min(text.find(' ', at), text.size());
    const std::string word(text.substr(at, end - at));
    at = end + 1;
    if (word.empty()) continue;
    const std::string longer = line.empty() ? word : line + " " + word;
    if (line.empty() || measure(longer, size_px) <= width_px + kSlackPx) {
      line = longer;
    } else {
      lines.push_back(line);
      line = word;
    }
  }
  if (!line.empty()) lines.push_back(line);
  return lines;
}

Fitted fit_text(std::string_view text, const FitSettings& settings, const Measure& measure) {
  Fitted fitted;
  for (const float size_px : settings.sizes_px) {
    fitted.size_px = size_px;
    if (settings.most_lines == 1) {
      fitted.lines.assign(1, std::string(text));
    } else {
      fitted.lines = wrap(text, settings.width_px, size_px, measure);
    }
    // At the smallest size one line is always allowed, however low the box.
    const bool smallest = size_px == settings.sizes_px.back();
    const std::size_t room = std::max<std::size_t>(smallest ? 1 : 0, room_for_lines(settings, size_px));
    if (fitted.lines.size() <= room && all_fit(fitted.lines, settings.width_px, size_px, measure)) return fitted;
  }
  const std::size_t room = std::max<std::size_t>(1, room_for_lines(settings, fitted.size_px));
  if (fitted.lines.size() > room) {
    std::string rest;
    for (std::size_t i = room - 1; i < fitted.lines.size(); ++i) rest += (rest.empty() ? "" : " ") + fitted.lines[i];
    fitted.lines.resize(room);
    fitted.lines.back() = rest;
  }
  for (std::string& line : fitted.lines) {
    if (measure(line, fitted.size_px) > settings.width_px + kSlackPx) {
      line = shortened_to(line, settings.width_px, fitted.size_px, measure);
    }
  }
  fitted.shortened = true;
  return fitted;
}

Fitted fit_choice(std::span<const std::string> spellings, const FitSettings& settings, const Measure& measure) {
  for (const std::string& spelling : spellings) {
    for (const float size_px : settings.sizes_px) {
      const bool high_enough = size_px <= settings.height_px + kSlackPx || size_px == settings.sizes_px.back();
      if (high_enough && measure(spelling, size_px) <= settings.width_px + kSlackPx)
        return {{spelling}, size_px, false};
    }
  }
  return {{}, settings.sizes_px.empty() ? 0.0F : settings.sizes_px.back(), true};
}

}  // namespace hushmill::dashboard
