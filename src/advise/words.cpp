#include "advise/advice.hpp"

namespace hushmill::advise {

std::string_view word(Milling milling) noexcept { return milling == Milling::climb ? "climb" : "conventional"; }

std::string_view word(Outcome outcome) noexcept {
  switch (outcome) {
    case Outcome::held:
      return "held";
    case Outcome::chattered:
      return "chattered";
    case Outcome::returned:
      return "returned";
  }
  return "";
}

std::string_view word(Direction direction) noexcept { return direction == Direction::lower ? "lower" : "higher"; }

}  // namespace hushmill::advise
