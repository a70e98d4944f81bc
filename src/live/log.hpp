// The log file of the running instrument: the only place that sees spdlog. Quiet on the screen.
//
// Lines are handed to a thread of the log's own, which alone touches the disk: a slow disk makes nobody wait. When more
// than 1000 lines pile up, further ones are dropped, and the log says how many. Never from the audio thread. When the
// file cannot be written, logging is off and trouble() says why; nothing else fails.
#pragma once

#include <filesystem>
#include <memory>
#include <optional>
#include <string>

namespace hushmill::live {

/// Where this program keeps what it remembers of itself: `hushmill` in the platform's state folder. None when that has none.
std::optional<std::filesystem::path> state_folder();

class Log {
 public:
  /// Writes hushmill.log in `folder`, which is made if needed and is the user's alone. At 1 MiB the file is put aside
  /// as hushmill.1.log; three are kept.
  explicit Log(const std::filesystem::path& folder);
  /// Writes what is still under way.
  ~Log();
  Log(const Log&) = delete;
  Log& operator=(const Log&) = delete;

  /// One line each; line breaks inside become spaces. [any thread but the audio thread]
  void note(const std::string& line);
  void warn(const std::string& line);

  const std::filesystem::path& file() const noexcept;
  /// Why nothing is logged; empty when all is well.
  const std::string& trouble() const noexcept;

 private:
  struct Parts;
  std::unique_ptr<Parts> parts_;
};

}  // namespace hushmill::live
