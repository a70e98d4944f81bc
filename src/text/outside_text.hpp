// Texts from outside (names in files, what a person typed, what a device calls itself), made fit to be shown: whole UTF-8, no control
// characters, no hidden turns of direction. Line breaks stay where the name says lines. Pure.
#pragma once

#include <string>
#include <string_view>

namespace hushmill::text {

/// For a terminal, a log or a complaint: control characters, line separators, marks that turn the direction of writing and bytes that
/// are no UTF-8 (The Unicode Standard 15.0, table 3-7) become '?'.
std::string plain_line(std::string_view text);
/// As above, but line breaks stay: for a text of our own that repeats names from outside.
std::string plain_lines(std::string_view text);
/// To be drawn or written into a document: control characters become a space, all else of the above U+FFFD. Line breaks stay.
std::string clean_lines(std::string_view text);

}  // namespace hushmill::text
