// What every screen must keep, whatever it shows: text inside the window and its room, large enough, apart.
#pragma once

#include "dashboard/theme.hpp"
#include "stage.hpp"
#include "support/catch.hpp"

namespace hushmill::test {

inline void check_tidy(const Stage& stage, float width_px, float height_px) {
  using namespace dashboard;
  const Rect window{0, 0, width_px, height_px};
  const auto& texts = stage.report().texts;
  REQUIRE(texts.size() >= 6);
  for (const DrawnText& text : texts) {
    INFO(text.panel << ": '" << text.text << "' at " << text.box.x << ", " << text.box.y << ", " << text.box.w << " x "
                    << text.box.h);
    CHECK(inside(text.box, window, 0.5F));
    CHECK(text.size_px >= 12 * stage.layout().unit - 0.51F);
    CHECK(text.box.x >= text.room.x - 1.5F);
    CHECK(text.box.right() <= text.room.right() + 1.5F);
    CHECK(stage.has_all_glyphs(text.text));
  }
  for (std::size_t a = 0; a < texts.size(); ++a) {
    for (std::size_t b = a + 1; b < texts.size(); ++b) {
      INFO(texts[a].panel << ": '" << texts[a].text << "' and " << texts[b].panel << ": '" << texts[b].text << "'");
      CHECK_FALSE(overlap(texts[a].box, texts[b].box, 1.0F));
    }
  }
}

inline void check_whole(const Stage& stage) {
  for (const dashboard::DrawnText& text : stage.report().texts) {
    INFO(text.panel << ": '" << text.text << "'");
    CHECK_FALSE(text.shortened);
  }
}

}  // namespace hushmill::test
