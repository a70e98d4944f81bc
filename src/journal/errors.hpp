// The two ways the journal can fail: a wrong file (exit code 2 of a command) and a world that did not play along (1).
#pragma once

#include <stdexcept>
#include <string>

namespace hushmill::journal {

/// Names out of a file, or of one, may hold anything: a complaint is one line that a terminal shows as it is.
inline std::string one_line(std::string text) {
  for (char& c : text)
    if (static_cast<unsigned char>(c) < 0x20 || c == 0x7F) c = '?';
  return text;
}

/// The file is no journal, or one of a newer version, or what was asked for is not in it. Nothing was touched.
class BadJournal : public std::invalid_argument {
 public:
  explicit BadJournal(const std::string& line) : std::invalid_argument(one_line(line)) {}
};

/// Disk full, no permission, a damaged file.
class JournalFailed : public std::runtime_error {
 public:
  explicit JournalFailed(const std::string& line) : std::runtime_error(one_line(line)) {}
};

}  // namespace hushmill::journal
