#include "lessons/lesson.hpp"

#include "lessons/corner.hpp"
#include "lessons/forks.hpp"
#include "lessons/lobes.hpp"
#include "lessons/lower_or_higher.hpp"
#include "lessons/wavy_wall.hpp"

namespace hushmill::lessons {

std::string_view word(Name name) noexcept {
  switch (name) {
    case Name::forks:
      return "forks";
    case Name::wavy_wall:
      return "wavy-wall";
    case Name::lobes:
      return "lobes";
    case Name::lower_or_higher:
      return "lower-or-higher";
    case Name::corner:
      return "corner";
  }
  return "";
}

std::string_view title(Name name) noexcept {
  switch (name) {
    case Name::forks:
      return "Two forks";
    case Name::wavy_wall:
      return "The wavy wall";
    case Name::lobes:
      return "The lobes";
    case Name::lower_or_higher:
      return "Lower or higher";
    case Name::corner:
      return "The corner";
  }
  return "";
}

std::optional<Name> name_of(std::string_view wanted) noexcept {
  for (const Name name : kNames)
    if (word(name) == wanted) return name;
  return std::nullopt;
}

std::unique_ptr<Lesson> make_lesson(Name name, std::uint64_t seed) {
  switch (name) {
    case Name::forks:
      return std::make_unique<Forks>(seed);
    case Name::wavy_wall:
      return std::make_unique<WavyWall>(seed);
    case Name::lobes:
      return std::make_unique<Lobes>(seed);
    case Name::lower_or_higher:
      return std::make_unique<LowerOrHigher>(seed);
    case Name::corner:
      return std::make_unique<Corner>(seed);
  }
  return nullptr;
}

}  // namespace hushmill::lessons
