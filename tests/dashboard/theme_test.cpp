// Colours: contrast of all text and marks in both themes, and that colours differ for the colour-blind too.
#include <algorithm>
#include <array>
#include <cmath>
#include <set>

#include "colour_vision.hpp"
#include "dashboard/theme.hpp"
#include "dashboard/verdict_view.hpp"
#include "made_state.hpp"
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

namespace {

using hushmill::test::distance;
using hushmill::test::Light;
using hushmill::test::light_of;
using hushmill::test::seen;
using hushmill::test::Vision;

constexpr std::array kVisions{Vision::full, Vision::no_red, Vision::no_green, Vision::no_blue};
constexpr double kApart = 10;  // our choice: several times what is just noticeable side by side

}  // namespace

TEST_CASE("the simulation of colour blindness leaves grey grey and makes known pairs alike") {
  for (const Vision vision : kVisions) {
    const Light grey = seen({0.3, 0.3, 0.3}, vision);
    CHECK(distance(grey, {0.3, 0.3, 0.3}) < 0.01);
  }
  // A red and a green of like lightness that full vision tells apart at once come close without green cones.
  const Light red = light_of({170, 110, 60}), green = light_of({110, 132, 60});
  CHECK(distance(red, green) > 35);
  CHECK(distance(seen(red, Vision::no_green), seen(green, Vision::no_green)) < 12);
  // CIE 15: black to white is 100.
  CHECK_THAT(distance({0, 0, 0}, {1, 1, 1}), WithinAbs(100, 0.1));
}

TEST_CASE("the verdict's three colours, and the marks, stay apart for the colour-blind of all three kinds") {
  for (const Theme& theme : {dark_theme(), light_theme()}) {
    for (const Vision vision : kVisions) {
      const auto apart = [&](Rgb a, Rgb b) { return distance(seen(light_of(a), vision), seen(light_of(b), vision)); };
      INFO((theme.light ? "light" : "dark") << ", vision " << static_cast<int>(vision));
      CHECK(apart(theme.normal, theme.abnormal) > kApart);
      CHECK(apart(theme.abnormal, theme.danger) > kApart);
      CHECK(apart(theme.normal, theme.danger) > kApart);
      CHECK(apart(theme.normal_edge, theme.danger_edge) > kApart);
      CHECK(apart(theme.abnormal_edge, theme.danger_edge) > kApart);
      CHECK(apart(theme.teeth, theme.danger) > kApart);   // comb and family
      CHECK(apart(theme.teeth, theme.room) > kApart);
      CHECK(apart(theme.danger, theme.room) > kApart);
      CHECK(apart(theme.ink, theme.mark) > kApart);       // advice and scale
    }
  }
}

TEST_CASE("a colour that is lost to the colour-blind never changes the contrast that is asked of marks") {
  for (const Theme& theme : {dark_theme(), light_theme()}) {
    for (const auto& pair : theme.mark_pairs()) {
      for (const Vision vision : kVisions) {
        const auto luminance_of = [](Light c) { return 0.2126 * c.r + 0.7152 * c.g + 0.0722 * c.b; };
        const double a = luminance_of(seen(light_of(pair.text), vision)), b = luminance_of(seen(light_of(pair.ground), vision));
        INFO((theme.light ? "light, " : "dark, ") << pair.where << ", vision " << static_cast<int>(vision));
        CHECK((std::max(a, b) + 0.05) / (std::min(a, b) + 0.05) >= 2.5);
      }
    }
  }
}

TEST_CASE("each verdict has a shape of its own, so that colour never stands alone") {
  std::set<std::pair<std::string, int>> seen_shapes;
  std::set<int> shapes;
  for (const auto what : {hushmill::test::Made::air, hushmill::test::Made::steady, hushmill::test::Made::forced,
                          hushmill::test::Made::building, hushmill::test::Made::chatter}) {
    Session session;
    const auto state = hushmill::test::made_state(what);
    session.add(state);
    const auto view = prepare_verdict(state, session, prepare_advice(state, session));
    seen_shapes.insert({view.word, static_cast<int>(view.shape)});
    shapes.insert(static_cast<int>(view.shape));
  }
  CHECK(seen_shapes.size() == 5);
  CHECK(shapes.size() == 5);
}
