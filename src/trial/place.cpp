#include "trial/place.hpp"

namespace hushmill::trial {

std::string_view word(Place place) noexcept {
  switch (place) {
    case Place::wall: return "wall";
    case Place::corner: return "corner";
    case Place::slot: return "slot";
    case Place::entry: return "entry";
    case Place::floor: return "floor";
  }
  return "";
}

std::optional<Place> place_from(std::string_view text) noexcept {
  for (const Place place : kPlaces)
    if (word(place) == text) return place;
  return std::nullopt;
}

}  // namespace hushmill::trial
