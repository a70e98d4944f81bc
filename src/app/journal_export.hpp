// Tables of the journal for other programs: CSV (RFC 4180, 2005) and JSON.
#pragma once

#include <string>

#include "app/json.hpp"
#include "journal/journal.hpp"

namespace hushmill::app {

/// Header line and one line a row, CRLF; fields with commas, quotes or line breaks in quotes; NULL is an empty field. A text
/// that a spreadsheet would take for a formula gets an apostrophe in front.
std::string to_csv(const journal::Table& table);
/// An array of objects; NULL is null.
Json to_json(const journal::Table& table);

}  // namespace hushmill::app
