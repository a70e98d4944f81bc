// What is being cut, as the person says it: the kinds of place that a tool meets along its path. Plain values.
#pragma once

#include <array>
#include <optional>
#include <string_view>

namespace hushmill::trial {

enum class Place { wall, corner, slot, entry, floor };

inline constexpr std::array kPlaces{Place::wall, Place::corner, Place::slot, Place::entry, Place::floor};

/// "wall", "corner", "slot", "entry", "floor".
std::string_view word(Place place) noexcept;
/// None for any other word.
std::optional<Place> place_from(std::string_view word) noexcept;

/// From here to there that was cut. Stretches may overlap; the one given last counts.
struct Tag {
  double from_s = 0;
  double to_s = 0;
  Place place = Place::wall;
};

}  // namespace hushmill::trial
