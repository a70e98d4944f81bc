#include "capture/errors.hpp"

#include "text/outside_text.hpp"

namespace hushmill::capture {

std::string in_quotes(std::string_view name) {
  constexpr std::size_t kLongest = 300;
  std::string text = "'";
  if (name.size() > kLongest) {
    text += "...";
    name.remove_prefix(name.size() - kLongest);  // the end of a path says more than its beginning
  }
  return text + text::plain_line(name) + "'";
}

}  // namespace hushmill::capture
