#include "app/shared_files.hpp"

#include <filesystem>

#include "platform/platform.hpp"

namespace hushmill::app {

namespace fs = std::filesystem;

std::string with_installed(const std::string& named) {
  std::error_code error;
  if (named.empty() || fs::path(named).is_absolute() || fs::exists(named, error)) return named;
  // From the program's own place, so that a prefix may be moved. A program that does not know its place finds nothing installed.
  const auto program = platform::program_file();
  if (!program) return named;
  const auto installed = (program->parent_path() / HUSHMILL_SHARED_FROM_PROGRAM / named).lexically_normal();
  return fs::exists(installed, error) ? installed.string() : named;
}

}  // namespace hushmill::app
