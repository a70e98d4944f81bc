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

std::string_view word(Area area) noexcept {
  switch (area) {
    case Area::hold:
      return "hold";
    case Area::tool:
      return "tool";
    case Area::program:
      return "program";
  }
  return "";
}

std::string_view likelihood_word(double likelihood) noexcept {
  if (likelihood >= 0.6) return "likely";
  return likelihood >= 0.3 ? "worth a try" : "unlikely";
}

}  // namespace hushmill::advise
