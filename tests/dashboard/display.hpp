// A display of the test's own: starts Xvfb on a free number, points DISPLAY at it, ends it by its own id.
#pragma once

#include <string>

namespace hushmill::test {

class OwnDisplay {
 public:
  /// Throws std::runtime_error when Xvfb cannot be started. With a folder, the screen's pixels lie there in a file, see
  /// screen_pixels.hpp.
  OwnDisplay(int width, int height, const std::string& pixels_folder = {});
  ~OwnDisplay();
  OwnDisplay(const OwnDisplay&) = delete;
  OwnDisplay& operator=(const OwnDisplay&) = delete;

  const std::string& name() const { return name_; }

 private:
  int process_ = -1;
  std::string name_;
};

}  // namespace hushmill::test
