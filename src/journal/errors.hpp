// The two ways the journal can fail: a wrong file (exit code 2 of a command) and a world that did not play along (1).
#pragma once

#include <stdexcept>

namespace hushmill::journal {

/// The file is no journal, or one of a newer version, or what was asked for is not in it. Nothing was touched.
class BadJournal : public std::invalid_argument {
 public:
  using std::invalid_argument::invalid_argument;
};

/// Disk full, no permission, a damaged file.
class JournalFailed : public std::runtime_error {
 public:
  using std::runtime_error::runtime_error;
};

}  // namespace hushmill::journal
