#include "dashboard/theme.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace hushmill::dashboard {
namespace {

std::uint8_t mix_part(std::uint8_t a, std::uint8_t b, double share) noexcept {
  const double value = a + (b - a) * std::clamp(share, 0.0, 1.0);
  return static_cast<std::uint8_t>(std::lround(value));
}

double linear(std::uint8_t part) noexcept {
  const double c = part / 255.0;
  return c <= 0.03928 ? c / 12.92 : std::pow((c + 0.055) / 1.055, 2.4);
}

}  // namespace

Rgb mix(Rgb a, Rgb b, double share) noexcept {
  return {mix_part(a.r, b.r, share), mix_part(a.g, b.g, share), mix_part(a.b, b.b, share)};
}

double luminance(Rgb colour) noexcept {
  return 0.2126 * linear(colour.r) + 0.7152 * linear(colour.g) + 0.0722 * linear(colour.b);
}

double contrast(Rgb a, Rgb b) noexcept {
  const double la = luminance(a), lb = luminance(b);
  return (std::max(la, lb) + 0.05) / (std::min(la, lb) + 0.05);
}

Rgb Theme::fill(Tone tone) const noexcept {
  switch (tone) {
    case Tone::normal:
      return normal;
    case Tone::abnormal:
      return abnormal;
    case Tone::danger:
      return danger;
    case Tone::neutral:
      break;
  }
  return mark;
}

Rgb Theme::edge(Tone tone) const noexcept {
  switch (tone) {
    case Tone::normal:
      return normal_edge;
    case Tone::abnormal:
      return abnormal_edge;
    case Tone::danger:
      return danger_edge;
    case Tone::neutral:
      break;
  }
  return mark;
}

Rgb Theme::text(Tone tone) const noexcept {
  switch (tone) {
    case Tone::normal:
      return normal_text;
    case Tone::abnormal:
      return abnormal_text;
    case Tone::danger:
      return danger_text;
    case Tone::neutral:
      break;
  }
  return ink;
}

Rgb Theme::band(Tone tone) const noexcept {
  return tone == Tone::neutral ? panel : mix(panel, fill(tone), light ? 0.10 : 0.11);
}

Rgb Theme::heat(double level) const noexcept {
  static constexpr std::array<Rgb, 5> kDark{Rgb{13, 16, 20}, Rgb{66, 44, 32}, Rgb{160, 98, 34}, Rgb{236, 180, 60},
                                            Rgb{255, 246, 196}};
  static constexpr std::array<Rgb, 5> kLight{Rgb{255, 255, 255}, Rgb{240, 222, 180}, Rgb{206, 150, 70},
                                             Rgb{130, 70, 24}, Rgb{44, 20, 10}};
  const auto& stops = light ? kLight : kDark;
  const double at = std::clamp(std::isfinite(level) ? level : 0.0, 0.0, 1.0) * 4.0;
  const auto below = std::min<std::size_t>(3, static_cast<std::size_t>(at));
  return mix(stops[below], stops[below + 1], at - static_cast<double>(below));
}

std::vector<Theme::Pair> Theme::text_pairs() const {
  std::vector<Pair> pairs{{ink, ground, "ink on ground"},
                          {dim, ground, "dim on ground"},
                          {ink, panel, "ink on panel"},
                          {dim, panel, "dim on panel"},
                          {ink, well, "ink on well"},
                          {dim, well, "dim on well"},
                          {normal_text, panel, "normal words on panel"},
                          {abnormal_text, panel, "abnormal words on panel"},
                          {danger_text, panel, "danger words on panel"},
                          {abnormal_text, well, "abnormal words on well"},
                          {danger_text, well, "danger words on well"}};
  for (const Tone tone : {Tone::neutral, Tone::normal, Tone::abnormal, Tone::danger}) {
    pairs.push_back({ink, band(tone), "ink on verdict band"});
    pairs.push_back({dim, band(tone), "dim on verdict band"});
  }
  return pairs;
}

std::vector<Theme::Pair> Theme::mark_pairs() const {
  return {{mark, panel, "scale on panel"},
          {teeth, panel, "teeth on panel"},
          {room, panel, "room on panel"},
          {ink, well, "curve on well"},
          {normal_edge, panel, "normal edge on panel"},
          {abnormal_edge, panel, "abnormal edge on panel"},
          {danger_edge, panel, "danger edge on panel"},
          {normal_edge, band(Tone::normal), "normal edge on its band"},
          {abnormal_edge, band(Tone::abnormal), "abnormal edge on its band"},
          {danger_edge, band(Tone::danger), "danger edge on its band"}};
}

Theme dark_theme() noexcept {
  Theme t;
  t.ground = {15, 18, 22};
  t.panel = {27, 32, 38};
  t.well = {13, 16, 20};
  t.ink = {240, 245, 250};
  t.dim = {182, 193, 204};
  t.line = {50, 58, 66};
  t.mark = {136, 148, 160};
  t.teeth = {112, 208, 224};
  t.room = {140, 148, 158};
  t.normal = {70, 192, 131};
  t.abnormal = {226, 178, 48};
  t.danger = {255, 90, 76};
  t.normal_edge = t.normal;
  t.abnormal_edge = t.abnormal;
  t.danger_edge = t.danger;
  t.normal_text = {92, 212, 152};
  t.abnormal_text = {238, 194, 74};
  t.danger_text = {255, 146, 134};
  return t;
}

Theme light_theme() noexcept {
  Theme t;
  t.light = true;
  t.ground = {222, 227, 231};
  t.panel = {248, 249, 250};
  t.well = {255, 255, 255};
  t.ink = {18, 22, 26};
  t.dim = {58, 66, 75};
  t.line = {206, 212, 218};
  t.mark = {104, 114, 124};
  t.teeth = {0, 108, 128};
  t.room = {112, 118, 126};
  t.normal = {40, 150, 90};
  t.abnormal = {240, 184, 0};
  t.danger = {212, 44, 32};
  t.normal_edge = {24, 112, 64};
  t.abnormal_edge = {148, 106, 0};
  t.danger_edge = {142, 8, 16};
  t.normal_text = {8, 82, 44};
  t.abnormal_text = {96, 64, 0};
  t.danger_text = {146, 14, 8};
  return t;
}

}  // namespace hushmill::dashboard
