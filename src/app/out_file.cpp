#include "app/out_file.hpp"

#include <algorithm>
#include <filesystem>

#include "app/option_text.hpp"
#include "app/usage_line.hpp"
#include "text/file_ending.hpp"

namespace hushmill::app {

std::string check_out_file(const std::string& option, const std::string& file, const std::vector<std::string>& endings) {
  std::string ending = text::file_ending(file);
  if (std::find(endings.begin(), endings.end(), ending) == endings.end())
    throw UsageError(option + " is '" + file.substr(0, 200) + "'; a name that ends in " + listed(endings) + " would be right");
  check_out_folder(option, file);
  return ending;
}

void check_out_folder(const std::string& option, const std::string& file) {
  const auto folder = std::filesystem::path(file).parent_path();
  std::error_code unreadable;
  if (!folder.empty() && !std::filesystem::is_directory(folder, unreadable))
    throw UsageError(option + " is '" + file.substr(0, 200) + "', and there is no folder '" + folder.string().substr(0, 200) + "'; one that is there would be right");
  if (std::filesystem::is_directory(file, unreadable)) throw UsageError(option + " is '" + file.substr(0, 200) + "', which is a folder; a file would be right");
}

}  // namespace hushmill::app
