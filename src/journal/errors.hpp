// The two ways the journal can fail: a wrong file (exit code 2 of a command) and a world that did not play along (1).
#pragma once

#include <stdexcept>
#include <string>

#include "text/outside_text.hpp"

namespace hushmill::journal {

/// The file is no journal, or one of a newer version, or what was asked for is not in it. Nothing was touched.
class BadJournal : public std::invalid_argument {
 public:
  explicit BadJournal(const std::string& line) : std::invalid_argument(text::plain_line(line)) {}
};

/// Disk full, no permission, a damaged file.
class JournalFailed : public std::runtime_error {
 public:
  explicit JournalFailed(const std::string& line) : std::runtime_error(text::plain_line(line)) {}
};

}  // namespace hushmill::journal
