// Remembers how text was fitted, because nearly all that stands on the screen stands there in the next frame again. Finding
// it allocates nothing. Pure; one thread; belongs to the fonts it was measured with.
#pragma once

#include <cstddef>
#include <functional>
#include <string>
#include <string_view>
#include <unordered_map>

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

  /// The fit of before, or the one that `fit` makes now.
  template <class Fit>
  const Fitted& find(std::string_view words, const Place& place, Fit fit) {
    const auto known = fits_.find(View{words, place});
    if (known != fits_.end()) return known->second;
    if (fits_.size() >= kMost) fits_.clear();  // clocks and levels bring new words all the time
    return fits_.emplace(Key{std::string(words), place}, fit()).first->second;
  }
  std::size_t size() const noexcept { return fits_.size(); }

  static constexpr std::size_t kMost = 4096;

 private:
  struct Key {
    std::string words;
    Place place;
  };
  struct View {
    std::string_view words;
    Place place;
  };
  struct Hash {
    using is_transparent = void;
    std::size_t operator()(const Key& key) const noexcept { return (*this)(View{key.words, key.place}); }
    std::size_t operator()(const View& view) const noexcept {
      const std::hash<float> of;
      std::size_t hash = std::hash<std::string_view>()(view.words);
      for (const std::size_t part : {of(view.place.width_px), of(view.place.height_px), of(view.place.largest_px)})
        hash = hash * 31 + part;
      return hash * 4 + static_cast<std::size_t>(view.place.lines) * 2 + (view.place.bold ? 1 : 0);
    }
  };
  struct Same {
    using is_transparent = void;
    template <class A, class B>
    bool operator()(const A& a, const B& b) const noexcept {
      return a.place == b.place && std::string_view(a.words) == std::string_view(b.words);
    }
  };
  std::unordered_map<Key, Fitted, Hash, Same> fits_;
};

}  // namespace hushmill::dashboard
