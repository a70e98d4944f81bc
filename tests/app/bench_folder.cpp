#include "app/bench_folder.hpp"

#include <algorithm>
#include <fstream>
#include <stdexcept>

namespace hushmill::test {

ProgramRun BenchFolder::hushmill(const Words& words) const {
  Words all{HUSHMILL_PROGRAM};
  all.insert(all.end(), words.begin(), words.end());
  return run_program(all, {{"XDG_STATE_HOME", folder_.path().string()}, {"HOME", folder_.path().string()}},
                     std::chrono::seconds(300));
}

Json BenchFolder::json_of(const Words& words) const {
  const auto run = hushmill(words);
  if (run.code != 0 || !run.err.empty())
    throw std::runtime_error("hushmill " + words.front() + " ended with " + std::to_string(run.code) + ": " + run.err);
  return Json::parse(run.out);
}

Json BenchFolder::review(const std::string& name, const std::string& rpm, const std::string& flutes,
                         const Words& more) const {
  Words words{"review", path(name), "--rpm", rpm, "--flutes", flutes, "--json"};
  words.insert(words.end(), more.begin(), more.end());
  return json_of(words);
}

void BenchFolder::simulate(const std::string& name, const Words& more) const {
  Words words{"rig", "--out", path(name)};
  words.insert(words.end(), more.begin(), more.end());
  const auto run = hushmill(words);
  if (run.code != 0) throw std::runtime_error("hushmill rig ended with " + std::to_string(run.code) + ": " + run.err);
}

double BenchFolder::true_onset_s(const std::string& name) const {
  constexpr std::string_view kKey = "true_onset_s: ";
  std::ifstream text(std::filesystem::path(path(name)).replace_extension(".txt"));
  for (std::string line; std::getline(text, line);) {
    if (line.rfind(kKey, 0) != 0) continue;
    const auto value = line.substr(kKey.size());
    return value.rfind("none", 0) == 0 ? -1 : std::stod(value);
  }
  throw std::runtime_error("the text beside " + name + " tells no true onset");
}

std::string complaint_trouble(const ProgramRun& run, int code, const Words& parts) {
  std::string trouble;
  if (run.code != code) trouble += "exit code " + std::to_string(run.code) + " and not " + std::to_string(code) + "; ";
  if (!run.out.empty()) trouble += "something on standard output; ";
  if (std::count(run.err.begin(), run.err.end(), '\n') != 1 || run.err.back() != '\n') trouble += "not one line; ";
  for (const auto& part : parts)
    if (run.err.find(part) == std::string::npos) trouble += "no '" + part + "'; ";
  return trouble.empty() ? trouble : trouble + "standard error: " + run.err;
}

}  // namespace hushmill::test
