#include "app/person_at_the_screen.hpp"

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <stdexcept>
#include <thread>

#include "dashboard/screen_pixels.hpp"

namespace hushmill::test {
namespace {

using Clock = std::chrono::steady_clock;
using std::chrono::milliseconds;

std::string folder_made(const std::filesystem::path& folder) {
  std::filesystem::create_directories(folder);
  return folder.string();
}

void xdotool(const std::string& words) {
  const std::string command = "xdotool " + words + " >/dev/null 2>&1";
  if (std::system(command.c_str()) != 0) throw std::runtime_error("xdotool failed (it comes with the package of that name): " + words);
}

std::vector<std::vector<std::string>> rows_of(const std::filesystem::path& file) {
  std::ifstream in(file);
  std::vector<std::vector<std::string>> rows;
  for (std::string line; std::getline(in, line);) {
    std::stringstream row(line);
    rows.emplace_back();
    for (std::string part; std::getline(row, part, '\t');) rows.back().push_back(part);
  }
  return rows;
}

}  // namespace

PersonAtTheScreen::PersonAtTheScreen() : display_(1280, 720, folder_made(home_ / "pixels")) {}

void PersonAtTheScreen::start(std::vector<std::string> options) {
  std::error_code ignored;
  std::filesystem::remove(home_ / "drawn.txt", ignored);
  std::vector<std::string> words{HUSHMILL_PROGRAM, "--scale", "1", "--drawn-text", (home_ / "drawn.txt").string()};
  words.insert(words.end(), options.begin(), options.end());
  program_ = ChildProcess(command(std::move(words), home_ / "said.txt"));
}

int PersonAtTheScreen::runs(const std::vector<std::string>& options) {
  std::vector<std::string> words{HUSHMILL_PROGRAM};
  words.insert(words.end(), options.begin(), options.end());
  ChildProcess beside(command(std::move(words), home_ / "beside.txt"));
  return beside.wait(milliseconds(60000)).value_or(-1);
}

ChildCommand PersonAtTheScreen::command(std::vector<std::string> words, const std::filesystem::path& said) const {
  return {std::move(words),
          {{"XDG_DATA_HOME", data().string()},
           {"XDG_STATE_HOME", state().string()},
           {"XDG_CONFIG_HOME", (home_ / "config").string()},
           {"HOME", home_.path().string()}},
          said};
}

int PersonAtTheScreen::wait_for_end() { return program_.wait(milliseconds(30000)).value_or(-1); }

std::vector<PersonAtTheScreen::Text> PersonAtTheScreen::texts() const {
  std::vector<Text> found;
  for (const auto& parts : rows_of(home_ / "drawn.txt"))
    if (parts.size() >= 9 && parts[0] == "text")
      found.push_back({parts[8], std::stof(parts[2]), std::stof(parts[3]), std::stof(parts[4]), std::stof(parts[5])});
  return found;
}

bool PersonAtTheScreen::sees_now(const std::string& words) const {
  for (const Text& text : texts())
    if (text.words.find(words) != std::string::npos) return true;
  return false;
}

bool PersonAtTheScreen::sees(const std::string& words, std::chrono::seconds at_most) {
  for (const auto until = Clock::now() + at_most; Clock::now() < until; std::this_thread::sleep_for(milliseconds(60))) {
    if (sees_now(words)) return true;
    if (!program_.running()) return false;
  }
  return false;
}

bool PersonAtTheScreen::sees_colour(const std::string& mark, float dx, float dy, dashboard::Rgb colour) {
  for (const auto until = Clock::now() + std::chrono::seconds(10); Clock::now() < until; std::this_thread::sleep_for(milliseconds(60))) {
    for (const auto& parts : rows_of(home_ / "drawn.txt")) {
      if (parts.size() < 5 || parts[0] != "mark" || parts[4] != mark) continue;
      const auto at = screen_pixel(home_ / "pixels", static_cast<int>(std::stof(parts[2]) + dx), static_cast<int>(std::stof(parts[3]) + dy));
      if (std::abs(at.r - colour.r) <= 6 && std::abs(at.g - colour.g) <= 6 && std::abs(at.b - colour.b) <= 6) return true;
    }
  }
  return false;
}

void PersonAtTheScreen::press(const std::string& keys) { xdotool("key --delay 60 " + keys); }
void PersonAtTheScreen::type(const std::string& words) { xdotool("type --delay 60 '" + words + "'"); }

bool PersonAtTheScreen::click(const std::string& words, float right_px) {
  for (const Text& text : texts()) {
    if (text.words.find(words) == std::string::npos) continue;
    xdotool("mousemove " + std::to_string(static_cast<int>(text.x + right_px)) + " " +
            std::to_string(static_cast<int>(text.y + text.h / 2)) + " sleep 0.2 click 1");
    return true;
  }
  return false;
}

std::string PersonAtTheScreen::all() const {
  std::string words;
  for (const Text& text : texts()) words += text.words + "\n";
  std::ifstream said(home_ / "said.txt");
  std::stringstream told;
  told << said.rdbuf();
  return words + told.str();
}

}  // namespace hushmill::test
