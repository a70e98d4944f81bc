// A folder of one test's own in which the built program is run, as a person would run it.
#pragma once

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "support/program_run.hpp"
#include "support/temporary_folder.hpp"

namespace hushmill::test {

using Json = nlohmann::json;
using Words = std::vector<std::string>;

class BenchFolder {
 public:
  /// Runs `hushmill` with these words. Its log goes into this folder.
  ProgramRun hushmill(const Words& words) const;
  /// The same for a command that must succeed and print one JSON document and nothing else; throws otherwise.
  Json json_of(const Words& words) const;
  /// Reviews a file in this folder with --json.
  Json review(const std::string& name, const std::string& rpm, const std::string& flutes, const Words& more = {}) const;

  /// The simulated machine into a file of this folder; throws when it fails.
  void simulate(const std::string& name, const Words& more) const;
  /// What the text beside a simulated file says of when chatter began; negative when it says none.
  double true_onset_s(const std::string& name) const;

  std::string path(const std::string& name) const { return (folder_ / name).string(); }

 private:
  TemporaryFolder folder_;
};

/// Bracket wall, 6800 rev/min, four flutes: 2 s of air, a healthy cut, and chatter from a deeper pass at 4 s.
inline const Words kChatteringWall{"--scene", "bracket-wall", "--seed", "2", "--depth-at", "4:3", "--for-s", "7"};
/// The same without the deeper pass.
inline const Words kHealthyWall{"--scene", "bracket-wall", "--for-s", "6"};

/// What a failing command must have said: exit code, nothing on standard output, one line on standard error that holds
/// all of `parts`. Empty when all is right, else what is not.
std::string complaint_trouble(const ProgramRun& run, int code, const Words& parts);

}  // namespace hushmill::test
