#include "support/child_process.hpp"

#include <fcntl.h>
#include <signal.h>
#include <sys/prctl.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cstdlib>
#include <stdexcept>
#include <thread>

namespace hushmill::test {

ChildProcess::ChildProcess(const ChildCommand& command) {
  // Everything that allocates happens before the fork: the test has other threads.
  std::vector<char*> words;
  for (const std::string& word : command.words) words.push_back(const_cast<char*>(word.c_str()));
  words.push_back(nullptr);
  std::vector<std::string> settings;
  for (char** entry = environ; *entry != nullptr; ++entry) {
    const std::string text = *entry;
    const std::string name = text.substr(0, text.find('='));
    bool replaced = false;
    for (const auto& [key, value] : command.environment) replaced = replaced || key == name;
    if (!replaced) settings.push_back(text);
  }
  for (const auto& [key, value] : command.environment) settings.push_back(key + "=" + value);
  std::vector<char*> environment;
  for (std::string& setting : settings) environment.push_back(setting.data());
  environment.push_back(nullptr);
  const std::string output = command.output.string();

  id_ = fork();
  if (id_ < 0) throw std::runtime_error("a program could not be started: " + command.words.front());
  if (id_ > 0) return;
  prctl(PR_SET_PDEATHSIG, SIGTERM);
  const int nothing = open("/dev/null", O_RDONLY);
  const int out = open(output.c_str(), O_WRONLY | O_CREAT | O_APPEND, 0600);
  dup2(nothing, STDIN_FILENO);
  dup2(out, STDOUT_FILENO);
  dup2(out, STDERR_FILENO);
  execvpe(words.front(), words.data(), environment.data());
  _exit(127);
}

ChildProcess::~ChildProcess() { end(); }

ChildProcess::ChildProcess(ChildProcess&& other) noexcept
    : id_(std::exchange(other.id_, -1)), code_(std::exchange(other.code_, std::nullopt)) {}

ChildProcess& ChildProcess::operator=(ChildProcess&& other) noexcept {
  if (this == &other) return *this;
  end();
  id_ = std::exchange(other.id_, -1);
  code_ = std::exchange(other.code_, std::nullopt);
  return *this;
}

bool ChildProcess::running() { return id_ > 0 && !wait(std::chrono::milliseconds(0)); }

std::optional<int> ChildProcess::wait(std::chrono::milliseconds at_most) {
  const auto until = std::chrono::steady_clock::now() + at_most;
  while (id_ > 0 && !code_) {
    int status = 0;
    if (waitpid(id_, &status, WNOHANG) == id_) {
      code_ = WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
    } else if (std::chrono::steady_clock::now() >= until) {
      break;
    } else {
      std::this_thread::sleep_for(std::chrono::milliseconds(5));
    }
  }
  return code_;
}

void ChildProcess::kill() {
  if (running()) ::kill(id_, SIGKILL);
}

void ChildProcess::end() {
  if (running()) {
    ::kill(id_, SIGTERM);
    if (!wait(std::chrono::seconds(5))) {
      ::kill(id_, SIGKILL);
      wait(std::chrono::seconds(5));
    }
  }
  id_ = -1;
}

}  // namespace hushmill::test
