#include "dashboard/typography.hpp"

#include <imgui.h>

#include <array>
#include <cmath>

namespace hushmill::dashboard {
namespace {

// In units; 12 is the least anywhere.
constexpr std::array kRegular{30.0F, 24.0F, 20.0F, 17.0F, 15.0F, 13.0F, 12.0F};
constexpr std::array kBold{44.0F, 36.0F, 30.0F, 24.0F, 20.0F, 17.0F, 15.0F, 13.0F, 12.0F};
constexpr std::array kVerdictShares{1.0F, 0.85F, 0.7F, 0.55F};

// Latin-1 for names of devices and files, and the few signs that the screen uses; large sizes have less to say.
constexpr std::array<ImWchar, 15> kText{0x20,   0x7E,   0xA0,   0xFF,   0x2010, 0x2022, 0x2026, 0x2026,
                                        0x2190, 0x2193, 0x2212, 0x2212, 0x2264, 0x2265, 0};
constexpr std::array<ImWchar, 11> kLarge{0x20, 0x7E, 0xA0, 0xB7, 0x2013, 0x2013, 0x2026, 0x2026, 0x2212, 0x2212, 0};
constexpr std::array<ImWchar, 5> kCapitals{0x20, 0x20, 0x41, 0x5A, 0};

}  // namespace

ImFont* Typography::bake(ImFontAtlas& atlas, const std::filesystem::path& file, float size_px,
                         const unsigned short* ranges) const {
  static_assert(sizeof(ImWchar) == sizeof(unsigned short), "the system's ImGui is built with 16-bit characters");
  ImFontConfig config;
  config.OversampleH = size_px < 30 ? 2 : 1;
  config.OversampleV = 1;
  config.PixelSnapH = false;
  ImFont* font = atlas.AddFontFromFileTTF(file.string().c_str(), box_px(size_px), &config, ranges);
  if (!font) throw FontMissing("The font file " + file.string() + " cannot be read.");
  return font;
}

Typography::Typography(ImFontAtlas& atlas, const FontFiles& files, float unit_px, float capital_px)
    : proportions_(read_proportions(files.bold)), unit_px_(unit_px) {
  atlas.Clear();
  atlas.Flags |= ImFontAtlasFlags_NoPowerOfTwoHeight;
  for (const float units : kRegular) regular_px_.push_back(std::round(units * unit_px));
  for (const float units : kBold) bold_px_.push_back(std::round(units * unit_px));
  for (const float share : kVerdictShares) {
    verdict_px_.push_back(std::ceil(share * capital_px / static_cast<float>(proportions_.capital)));
  }
  for (const float size_px : regular_px_) {
    baked_.push_back({Weight::regular, size_px,
                      bake(atlas, files.regular, size_px, size_px > 24 * unit_px ? kLarge.data() : kText.data())});
  }
  for (const float size_px : bold_px_) {
    baked_.push_back({Weight::bold, size_px,
                      bake(atlas, files.bold, size_px, size_px > 24 * unit_px ? kLarge.data() : kText.data())});
  }
  for (const float size_px : verdict_px_) {
    baked_.push_back({Weight::bold, size_px, bake(atlas, files.bold, size_px, kCapitals.data())});
  }
}

std::span<const float> Typography::sizes_px(Weight weight, float from_units) const noexcept {
  const auto& all = weight == Weight::bold ? bold_px_ : regular_px_;
  std::size_t first = 0;
  while (first + 1 < all.size() && all[first] > from_units * unit_px_ + 0.5F) ++first;
  return std::span(all).subspan(first);
}

ImFont* Typography::font(Weight weight, float size_px) const noexcept {
  for (const Baked& one : baked_) {
    if (one.weight == weight && std::abs(one.size_px - size_px) < 0.01F) return one.font;
  }
  return baked_.front().font;
}

float Typography::box_px(float size_px) const noexcept {
  return size_px * static_cast<float>(proportions_.ascent + proportions_.descent);
}
float Typography::ascent_px(float size_px) const noexcept { return size_px * static_cast<float>(proportions_.ascent); }
float Typography::capital_px(float size_px) const noexcept {
  return size_px * static_cast<float>(proportions_.capital);
}

}  // namespace hushmill::dashboard
