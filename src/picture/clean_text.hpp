// Text from outside made fit to be drawn or written: whole UTF-8, no control characters, no hidden turns of direction.
#pragma once

#include <string>
#include <string_view>

namespace hushmill::picture {

/// Bytes that are no UTF-8 (The Unicode Standard 15.0, table 3-7) become U+FFFD each, as do marks that turn the direction of writing or
/// break a line unseen; control characters but line breaks become a space.
std::string clean_text(std::string_view text);

}  // namespace hushmill::picture
