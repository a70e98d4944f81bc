#include "display.hpp"

#include <fcntl.h>
#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <cstdlib>
#include <stdexcept>

namespace hushmill::test {

OwnDisplay::OwnDisplay(int width, int height, const std::string& pixels_folder) {
  std::array<int, 2> ends{};
  if (pipe(ends.data()) != 0) throw std::runtime_error("no pipe for Xvfb");
  process_ = fork();
  if (process_ == 0) {
    close(ends[0]);
    const int quiet = open("/dev/null", O_WRONLY | O_CLOEXEC);
    dup2(quiet, 1);
    dup2(quiet, 2);
    const std::string number_end = std::to_string(ends[1]);
    const std::string screen = std::to_string(width) + "x" + std::to_string(height) + "x24";
    if (pixels_folder.empty()) {
      execlp("Xvfb", "Xvfb", "-displayfd", number_end.c_str(), "-screen", "0", screen.c_str(), "-nolisten", "tcp",
             nullptr);
    } else {  // several programs in turn: the server must not start afresh when the last window closes
      execlp("Xvfb", "Xvfb", "-displayfd", number_end.c_str(), "-screen", "0", screen.c_str(), "-nolisten", "tcp",
             "-noreset", "-fbdir", pixels_folder.c_str(), nullptr);
    }
    _exit(127);
  }
  close(ends[1]);
  std::string number;
  for (char one = 0; read(ends[0], &one, 1) == 1 && one != '\n';) number += one;
  close(ends[0]);
  if (number.empty()) throw std::runtime_error("Xvfb cannot be started; it comes with the package xvfb");
  name_ = ":" + number;
  setenv("DISPLAY", name_.c_str(), 1);
  unsetenv("WAYLAND_DISPLAY");
  setenv("LIBGL_ALWAYS_SOFTWARE", "1", 1);
}

OwnDisplay::~OwnDisplay() {
  if (process_ <= 0) return;
  kill(process_, SIGTERM);
  waitpid(process_, nullptr, 0);
}

}  // namespace hushmill::test
