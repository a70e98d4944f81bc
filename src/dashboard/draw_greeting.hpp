// Draws the greeting and tells where its parts stand, so that the mouse can reach them. Decides nothing.
#pragma once

#include <array>
#include <vector>

#include "dashboard/canvas.hpp"
#include "dashboard/greeting.hpp"

namespace hushmill::dashboard {

struct GreetingPlaces {
  bool compact = false;        ///< the chosen card alone, under the three titles
  Rect heading, foot, cautions;
  std::array<Rect, 3> cards;   ///< in the order of SourceKind; the titles alone when compact
  Rect chosen;                 ///< inside of the chosen card
  std::array<Rect, 3> buttons; ///< empty where the card is not shown
  std::array<std::vector<Rect>, 2> rows;          ///< of the lists of microphones and recordings
  std::array<std::size_t, 2> first_row{};         ///< what the first of them shows
  std::array<std::array<Rect, 4>, 2> fields;      ///< by GreetingField, for microphone and recording
};

GreetingPlaces greeting_places(const Canvas& canvas, const Rect& window, const Greeting& greeting);
void draw_greeting(Canvas& canvas, const Rect& window, const Greeting& greeting, Units units);

}  // namespace hushmill::dashboard
