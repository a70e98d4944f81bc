// Remembers how text was fitted, because nearly all that stands on the screen stands there in the next frame again. Its
// memory is taken once: finding allocates nothing, and new words take the place of those that were asked for longest ago.
// Pure; one thread; belongs to the fonts it was measured with.
#pragma once

#include <cstddef>
#include <cstdint>
#include <functional>
#include <string_view>
#include <vector>

#include "dashboard/text_fit.hpp"

namespace hushmill::dashboard {

class FitCache {
 public:
  /// What else decides the fit, beside the words.
  struct Place {
    float width_px = 0;
    float height_px = 0;
    float largest_px = 0;
    int lines = 1;
    bool bold = false;
    bool operator==(const Place&) const = default;
  };

  /// The fit of before, or the one that `fit` makes now; good until the next call.
  template <class Fit>
  const Fitted& find(std::string_view words, const Place& place, Fit fit) {
    ++now_;
    Slot* const row = &slots_[hash(words, place) % kRows * kWays];
    Slot* oldest = row;
    for (Slot* slot = row; slot != row + kWays; ++slot) {
      if (slot->asked > 0 && slot->place == place && slot->words == words) {
        slot->asked = now_;
        return slot->fitted;
      }
      if (slot->asked < oldest->asked) oldest = slot;
    }
    *oldest = {words, place, fit(), now_};
    return oldest->fitted;
  }

  static constexpr std::size_t kRows = 512, kWays = 4;

 private:
  struct Slot {
    Words words;
    Place place;
    Fitted fitted;
    std::uint64_t asked = 0;  ///< 0: empty
  };
  static std::size_t hash(std::string_view words, const Place& place) noexcept {
    const std::hash<float> of;
    std::size_t hash = std::hash<std::string_view>()(words);
    for (const std::size_t part : {of(place.width_px), of(place.height_px), of(place.largest_px)}) hash = hash * 31 + part;
    return hash * 4 + static_cast<std::size_t>(place.lines) * 2 + (place.bold ? 1 : 0);
  }

  std::vector<Slot> slots_ = std::vector<Slot>(kRows * kWays);
  std::uint64_t now_ = 0;
};

}  // namespace hushmill::dashboard
