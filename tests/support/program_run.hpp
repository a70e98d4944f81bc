// A program run to its end by a test, with all that it said.
#pragma once

#include <chrono>
#include <string>
#include <utility>
#include <vector>

namespace hushmill::test {

struct ProgramRun {
  int code = -1;  ///< exit code; 128 + signal number when a signal ended it
  std::string out, err;
};

/// `words`: program and arguments, `environment` on top of the test's own. Throws std::runtime_error when the program
/// cannot be started or has not ended after `at_most` (it is ended then).
ProgramRun run_program(const std::vector<std::string>& words,
                       const std::vector<std::pair<std::string, std::string>>& environment,
                       std::chrono::seconds at_most);

}  // namespace hushmill::test
