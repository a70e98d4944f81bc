// Text from outside, fit for a terminal.
#pragma once

#include <string>
#include <string_view>

namespace hushmill::capture {

/// Control characters, line separators, marks that turn the direction of writing and bytes that are no UTF-8 become '?'; the
/// rest stays as it is.
std::string plain_line(std::string_view text);
/// As above, but line breaks stay: for a text of our own that repeats names from outside.
std::string plain_lines(std::string_view text);

}  // namespace hushmill::capture
