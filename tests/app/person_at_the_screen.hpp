// A person before the real program in a real window: sees what is drawn, presses real keys, moves the real mouse.
#pragma once

#include <chrono>
#include <filesystem>
#include <string>
#include <vector>

#include "dashboard/display.hpp"
#include "dashboard/theme.hpp"
#include "support/child_process.hpp"
#include "support/temporary_folder.hpp"

namespace hushmill::test {

class PersonAtTheScreen {
 public:
  /// A screen and a home of the test's own, empty: what follows is a first run.
  PersonAtTheScreen();

  /// Starts the program with these options.
  void start(std::vector<std::string> options = {});
  /// Runs the program in the terminal beside the window, with the same home; its exit code, -1 when it does not end in time.
  int runs(const std::vector<std::string>& options);
  /// Its exit code, -1 when it does not end in time.
  int wait_for_end();

  /// Waits until these words stand on the screen; false after `at_most`, or when the program ended.
  bool sees(const std::string& words, std::chrono::seconds at_most = std::chrono::seconds(60));
  /// What stands there now.
  bool sees_now(const std::string& words) const;
  /// Waits until the pixel at a mark (moved by so many pixels) has this colour.
  bool sees_colour(const std::string& mark, float dx, float dy, dashboard::Rgb colour);
  /// Keys by the names that xdotool has for them.
  void press(const std::string& keys);
  void type(const std::string& words);
  /// Clicks so far to the right of the words that stand there. False when they do not.
  bool click(const std::string& words, float right_px = 2);

  std::filesystem::path data() const { return home_ / "data"; }
  std::filesystem::path state() const { return home_ / "state"; }
  /// All words on the screen, for the report of a failure.
  std::string all() const;

 private:
  struct Text {
    std::string words;
    float x = 0, y = 0, w = 0, h = 0;
  };
  std::vector<Text> texts() const;
  ChildCommand command(std::vector<std::string> words, const std::filesystem::path& said) const;

  TemporaryFolder home_;
  OwnDisplay display_;
  ChildProcess program_;
};

}  // namespace hushmill::test
