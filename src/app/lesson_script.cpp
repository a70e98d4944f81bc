#include "app/lesson_script.hpp"

#include <algorithm>

#include "app/option_text.hpp"

namespace hushmill::app {

namespace {
constexpr double kLongestS = 36000;

std::vector<std::string> parts_of(const char* option, const std::string& text, std::size_t wanted, const char* right) {
  std::vector<std::string> parts{""};
  for (const char c : text) {
    if (c == ':') parts.emplace_back();
    else parts.back() += c;
  }
  if (parts.size() != wanted) throw UsageError(std::string(option) + " is '" + text.substr(0, 60) + "'; " + right + " would be right");
  return parts;
}
}  // namespace

std::vector<LessonStep> lesson_script(const std::vector<std::string>& turns, const std::vector<std::string>& deeds) {
  std::vector<LessonStep> script;
  for (const auto& text : turns) {
    const auto parts = parts_of("--turn", text, 3, "seconds, number of the control and value, as 2:1:440,");
    script.push_back({parse_number("--turn", parts[0], 0, kLongestS), static_cast<std::size_t>(parse_whole("--turn", parts[1], 1, 9)) - 1, parse_number("--turn", parts[2], -1e9, 1e9)});
  }
  for (const auto& text : deeds) {
    const auto parts = parts_of("--do", text, 2, "seconds and number of the deed, as 2.5:1,");
    script.push_back({parse_number("--do", parts[0], 0, kLongestS), static_cast<std::size_t>(parse_whole("--do", parts[1], 1, 9)) - 1, std::nullopt});
  }
  std::stable_sort(script.begin(), script.end(), [](const auto& a, const auto& b) { return a.at_s < b.at_s; });
  return script;
}

void check_script(const std::vector<LessonStep>& script, lessons::Lesson& rehearsal) {
  for (const auto& step : script) {
    const lessons::Scene scene = rehearsal.scene();
    const std::string lesson(lessons::word(scene.name));
    const std::size_t count = step.value ? scene.controls.size() : scene.deeds.size();
    if (step.which >= count)
      throw UsageError(std::string(step.value ? "--turn names control " : "--do names deed ") + std::to_string(step.which + 1) + "; 1 to " + std::to_string(count) + " of the lesson " + lesson + " would be right");
    if (!step.value) {
      rehearsal.act(step.which);
      continue;
    }
    const auto& control = scene.controls[step.which];
    if (*step.value < control.from || *step.value > control.to)
      throw UsageError("--turn sets '" + control.name + "' to " + plain(*step.value) + "; " + plain(control.from) + " to " + plain(control.to) + " would be right" + (script.size() > 1 ? " at that point" : ""));
    rehearsal.set(step.which, *step.value);
  }
}

}  // namespace hushmill::app
