// The two ways a door can fail, so that the command line can tell a wrong question (exit code 2) from a world that did
// not play along (exit code 1). Each text is one line: what was asked for, what was found, what would be right.
#pragma once

#include <stdexcept>
#include <string>
#include <string_view>

namespace hushmill::capture {

/// The person named something that cannot be used: not a sound file, no such device, a rate out of range.
class BadInput : public std::invalid_argument {
 public:
  using std::invalid_argument::invalid_argument;
};

/// What was asked for is fine, but the outside failed: disk full, device gone, no sound system.
class OutsideFailed : public std::runtime_error {
 public:
  using std::runtime_error::runtime_error;
};

/// A name from outside, in quotes and fit for one line: control characters become '?', a very long one is shortened.
std::string in_quotes(std::string_view name);

}  // namespace hushmill::capture
