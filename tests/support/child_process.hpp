// A program started by a test and ended by its own id. It is told to end when the test's process dies.
#pragma once

#include <chrono>
#include <filesystem>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace hushmill::test {

struct ChildCommand {
  std::vector<std::string> words{};                                ///< program (looked up in PATH) and arguments
  std::vector<std::pair<std::string, std::string>> environment{};  ///< set on top of the test's own
  std::filesystem::path output = "/dev/null";                      ///< where standard output and standard error go
};

class ChildProcess {
 public:
  ChildProcess() = default;
  /// Throws std::runtime_error when it cannot be started; a program that is not there ends with code 127.
  explicit ChildProcess(const ChildCommand& command);
  /// Ends it.
  ~ChildProcess();
  ChildProcess(ChildProcess&& other) noexcept;
  ChildProcess& operator=(ChildProcess&& other) noexcept;

  bool running();
  /// Its exit code (128 + signal number when a signal ended it); none when it still runs after that time.
  std::optional<int> wait(std::chrono::milliseconds at_most);
  /// Ends it at once, as nothing can refuse (SIGKILL).
  void kill();
  /// Asks it to end, after five seconds makes it, and waits until it is gone.
  void end();

 private:
  int id_ = -1;
  std::optional<int> code_;
};

}  // namespace hushmill::test
