// Where the panels stand, and the arithmetic of axes.
#include <cmath>
#include <vector>

#include "dashboard/axis.hpp"
#include "dashboard/eased.hpp"
#include "dashboard/layout.hpp"
#include "support/catch.hpp"

using namespace hushmill;
using namespace hushmill::dashboard;
using hushmill::test::WithinAbs;
using hushmill::test::WithinRel;

namespace {

std::vector<Rect> panels(const Layout& layout) {
  std::vector<Rect> shown;
  for (const Rect& rect : {layout.band, layout.ladder, layout.folded, layout.spectrum, layout.history, layout.trials, layout.timeline,
                           layout.cut, layout.microphone, layout.rig, layout.lesson, layout.advice, layout.cautions}) {
    if (!rect.empty()) shown.push_back(rect);
  }
  return shown;
}

}  // namespace

TEST_CASE("panels never overlap, never leave the window, at any size, scale and look") {
  for (float w = 320; w <= 4000; w += 293) {
    for (float h = 200; h <= 2400; h += 211) {
      for (const float scale : {1.0F, 1.5F, 2.0F, 3.0F}) {
        for (const Look look : {Look::bench, Look::teach, Look::room}) {
          for (const bool rig : {false, true}) {
            const Layout layout = lay_out({w, h, scale, look, rig});
            INFO(w << " x " << h << " at " << scale << ", look " << static_cast<int>(look) << ", rig " << rig);
            const auto shown = panels(layout);
            REQUIRE(shown.size() >= 3);
            for (std::size_t a = 0; a < shown.size(); ++a) {
              CHECK(inside(shown[a], {0, 0, w, h}, 0.5F));
              for (std::size_t b = a + 1; b < shown.size(); ++b) CHECK_FALSE(overlap(shown[a], shown[b], 0.5F));
            }
            CHECK(layout.capital_px >= h / 10);
            CHECK_FALSE(layout.cautions.empty());
            CHECK_FALSE(layout.advice.empty());
          }
        }
      }
    }
  }
}

TEST_CASE("the bench look holds everything at 1280 x 720 and the unit follows window and scale") {
  const Layout small = lay_out({1280, 720, 1, Look::bench, true});
  CHECK(small.look == Look::bench);
  CHECK(small.unit == 1);
  CHECK(panels(small).size() == 12);
  CHECK(lay_out({1920, 1080, 1, Look::bench, true}).unit == 1.5F);
  CHECK(lay_out({3840, 2160, 2, Look::bench, true}).unit == 3.0F);
  // A scale that leaves too little room for the bench falls back to what can be read.
  CHECK(lay_out({1280, 720, 2, Look::bench, true}).look == Look::room);
  CHECK(lay_out({1280, 720, 8, Look::bench, true}).unit == 2.0F);
}

TEST_CASE("ticks are round, in range and far enough apart") {
  for (const double span : {3.0, 47.0, 4500.0, 123456.0}) {
    for (const double from : {0.0, -77.7, 1234.5}) {
      const Axis axis{from, from + span, false};
      const auto found = ticks(axis, 0.09);
      REQUIRE(found.size() >= 2);
      for (std::size_t i = 0; i < found.size(); ++i) {
        CHECK(found[i].value >= axis.from - 1e-9 * span);
        CHECK(found[i].value <= axis.to + 1e-9 * span);
        if (i > 0) CHECK(found[i].share - found[i - 1].share >= 0.09 - 1e-9);
      }
      const double step = found[1].value - found[0].value;
      CHECK_THAT(round_step(step), WithinRel(step, 1e-9));
    }
  }
  CHECK(ticks({5, 5, false}, 0.1).empty());
  CHECK(ticks({5, 1, false}, 0.1).empty());
  CHECK(ticks({0, 10, true}, 0.1).empty());
  CHECK_THAT(round_step(0.07), WithinRel(0.1, 1e-9));
  CHECK(round_step(210) == 500);
}

TEST_CASE("a logarithmic axis maps there and back, and its ticks are 1, 2 and 5") {
  const Axis axis{20, 20000, true};
  CHECK_THAT(axis.share(200), WithinAbs(1.0 / 3, 1e-12));
  for (const double share : {0.0, 0.25, 0.77, 1.0}) CHECK_THAT(axis.share(axis.value(share)), WithinAbs(share, 1e-12));
  for (const Tick& tick : ticks(axis, 0.05)) {
    const double digit = tick.value / std::pow(10.0, std::floor(std::log10(tick.value) + 1e-9));
    INFO(tick.value);
    CHECK((std::abs(digit - 1) < 1e-6 || std::abs(digit - 2) < 1e-6 || std::abs(digit - 5) < 1e-6));
  }
}

TEST_CASE("zoom keeps the place under the cursor and stays within the whole") {
  const Axis whole{0, 5000, false};
  const Axis close = zoomed({0, 5000, false}, 0.3, 2, whole);
  CHECK_THAT(close.value(0.3), WithinRel(1500.0, 1e-9));
  CHECK_THAT(close.to - close.from, WithinRel(2500.0, 1e-9));
  const Axis wide = zoomed(close, 0.5, 0.1, whole);
  CHECK(wide.from == 0);
  CHECK(wide.to == 5000);
  Axis deep = whole;
  for (int i = 0; i < 100; ++i) deep = zoomed(deep, 0.5, 1.5, whole);
  CHECK(deep.to - deep.from >= 5000.0 / 500);
  CHECK_THAT(panned(close, 0.1, whole).from, WithinRel(close.from + 250, 1e-9));
  CHECK(panned(whole, 0.1, whole).from == 0);
}

TEST_CASE("an eased number glides, arrives, and ignores what is no number") {
  Eased eased;
  CHECK(eased.toward(100, 0.02) == 100);
  const double first = eased.toward(200, 0.02);
  CHECK(first > 100);
  CHECK(first < 140);
  double last = first;
  for (int i = 0; i < 100; ++i) {
    const double now = eased.toward(200, 0.02);
    CHECK(now >= last);
    last = now;
  }
  CHECK(last == 200);
  CHECK(eased.toward(std::nan(""), 0.02) == 200);
}
