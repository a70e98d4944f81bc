// Text from outside made fit to be drawn or written: whole UTF-8, no control characters.
#pragma once

#include <string>
#include <string_view>

namespace hushmill::picture {

/// Bytes that are no UTF-8 (The Unicode Standard 15.0, table 3-7) become U+FFFD each, control characters but line breaks a
/// space.
std::string clean_text(std::string_view text);

}  // namespace hushmill::picture
