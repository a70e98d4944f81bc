// The fonts of the screen, baked at the few sizes that the screen uses, in framebuffer pixels of the em.
// Text is drawn only at baked sizes, so it is never blurred. A change of unit means building again.
#pragma once

#include <span>
#include <vector>

#include "dashboard/fit_cache.hpp"
#include "dashboard/font_files.hpp"

struct ImFont;
struct ImFontAtlas;

namespace hushmill::dashboard {

enum class Weight { regular, bold };

class Typography {
 public:
  /// Fills the atlas (which is cleared first). `capital_px` is the height of the verdict word's capitals. Throws
  /// FontMissing when a file cannot be read.
  Typography(ImFontAtlas& atlas, const FontFiles& files, float unit_px, float capital_px);

  /// Baked sizes of a weight no larger than `from_units`, largest first, in pixels of the em; never empty.
  std::span<const float> sizes_px(Weight weight, float from_units) const noexcept;
  /// The verdict word's size: first `verdict_px`, then smaller ones for a long word in a narrow band.
  std::span<const float> verdict_sizes_px() const noexcept { return verdict_px_; }
  /// The font baked at exactly this size, one of those above.
  ImFont* font(Weight weight, float size_px) const noexcept;
  /// What ImGui calls the size of that font (ascent and descent together).
  float box_px(float size_px) const noexcept;
  float ascent_px(float size_px) const noexcept;
  float capital_px(float size_px) const noexcept;
  float unit_px() const noexcept { return unit_px_; }
  /// How text was fitted with these fonts.
  FitCache& fits() const noexcept { return fits_; }

 private:
  struct Baked {
    Weight weight;
    float size_px;
    ImFont* font;
  };
  ImFont* bake(ImFontAtlas& atlas, const std::filesystem::path& file, float size_px,
               const unsigned short* ranges) const;

  FontProportions proportions_;
  float unit_px_;
  std::vector<float> regular_px_, bold_px_, verdict_px_;
  std::vector<Baked> baked_;
  mutable FitCache fits_;  // what it gives back is the same with it and without
};

}  // namespace hushmill::dashboard
