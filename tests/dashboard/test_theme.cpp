// Colours: contrast of all text and marks in both themes, and that colours differ for the colour-blind too.
#include <array>
#include <cmath>

#include "dashboard/theme.hpp"
#include "support/catch.hpp"

using namespace hushmill;
using namespace hushmill::dashboard;
using hushmill::test::WithinAbs;

TEST_CASE("contrast is computed as WCAG defines it") {
  // W3C, Web Content Accessibility Guidelines 2.1, 2018: black on white is 21:1, a colour on itself 1:1.
  CHECK_THAT(contrast({0, 0, 0}, {255, 255, 255}), WithinAbs(21.0, 1e-9));
  CHECK_THAT(contrast({77, 88, 99}, {77, 88, 99}), WithinAbs(1.0, 1e-12));
  CHECK(contrast({10, 20, 30}, {200, 210, 220}) == contrast({200, 210, 220}, {10, 20, 30}));
  // The formula of the same source, written out again for one colour.
  const double c = std::pow((118 / 255.0 + 0.055) / 1.055, 2.4);
  CHECK_THAT(contrast({118, 118, 118}, {255, 255, 255}), WithinAbs(1.05 / (c + 0.05), 1e-9));
}

TEST_CASE("all text stands out 7:1 and all marks 3:1, dark and light") {
  for (const Theme& theme : {dark_theme(), light_theme()}) {
    for (const auto& pair : theme.text_pairs()) {
      INFO((theme.light ? "light, " : "dark, ") << pair.where);
      CHECK(contrast(pair.text, pair.ground) >= 7.0);
    }
    for (const auto& pair : theme.mark_pairs()) {
      INFO((theme.light ? "light, " : "dark, ") << pair.where);
      CHECK(contrast(pair.text, pair.ground) >= 3.0);
    }
  }
}

TEST_CASE("a picture's levels run one way from its ground") {
  for (const Theme& theme : {dark_theme(), light_theme()}) {
    CHECK(theme.heat(0) == theme.well);
    for (int level = 1; level <= 255; ++level) {
      const double before = luminance(theme.heat((level - 1) / 255.0)), now = luminance(theme.heat(level / 255.0));
      INFO("level " << level);
      CHECK((theme.light ? now <= before : now >= before));
    }
    CHECK(contrast(theme.heat(1), theme.well) > 10);
    CHECK(theme.heat(std::nan("")) == theme.heat(0));
    CHECK(theme.heat(7) == theme.heat(1));
  }
}
