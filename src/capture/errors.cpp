#include "capture/errors.hpp"

namespace hushmill::capture {

std::string in_quotes(std::string_view name) {
  constexpr std::size_t kLongest = 300;
  std::string text = "'";
  if (name.size() > kLongest) {
    text += "...";
    name.remove_prefix(name.size() - kLongest);  // the end of a path says more than its beginning
  }
  for (const char c : name) {
    const auto code = static_cast<unsigned char>(c);
    text += (code < 0x20 || code == 0x7f) ? '?' : c;
  }
  return text + "'";
}

}  // namespace hushmill::capture
