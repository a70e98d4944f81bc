#include "support/program_run.hpp"

#include <algorithm>
#include <fstream>
#include <sstream>
#include <stdexcept>

#include "support/child_process.hpp"
#include "support/temporary_folder.hpp"

namespace hushmill::test {
namespace {

std::string text_of(const std::filesystem::path& file) {
  std::ostringstream text;
  text << std::ifstream(file, std::ios::binary).rdbuf();
  return text.str();
}

}  // namespace

ProgramRun run_program(const std::vector<std::string>& words,
                       const std::vector<std::pair<std::string, std::string>>& environment,
                       std::chrono::seconds at_most) {
  const TemporaryFolder folder;
  const auto out = folder / "out";
  const auto err = folder / "err";
  // The shell only parts the two streams; the words reach the program untouched.
  ChildCommand command{{"sh", "-c", R"(exec "$@" >"$HUSHMILL_TEST_OUT" 2>"$HUSHMILL_TEST_ERR")", "sh"}, environment};
  command.words.insert(command.words.end(), words.begin(), words.end());
  // What the program keeps by itself goes with the run, unless the test wants it somewhere.
  const bool has_home = std::any_of(environment.begin(), environment.end(), [](const auto& one) { return one.first == "XDG_DATA_HOME"; });
  if (!has_home) command.environment.emplace_back("XDG_DATA_HOME", (folder / "data").string());
  command.environment.emplace_back("HUSHMILL_TEST_OUT", out.string());
  command.environment.emplace_back("HUSHMILL_TEST_ERR", err.string());
  ChildProcess child(command);
  const auto code = child.wait(at_most);
  if (!code) throw std::runtime_error(words.front() + " did not end in " + std::to_string(at_most.count()) + " s");
  if (*code == 127) throw std::runtime_error(words.front() + " could not be started");
  return {*code, text_of(out), text_of(err)};
}

}  // namespace hushmill::test
