#include "journal/folders.hpp"

#include <fstream>

#include "journal/errors.hpp"
#include "platform/platform.hpp"

namespace hushmill::journal {

namespace fs = std::filesystem;

std::optional<fs::path> data_folder() {
  if (const auto home = platform::data_home()) return *home / "hushmill";
  return std::nullopt;
}

std::optional<fs::path> settings_folder() {
  if (const auto home = platform::settings_home()) return *home / "hushmill";
  return std::nullopt;
}

void make_private_folder(const fs::path& folder) {
  std::error_code error;
  if (fs::is_directory(folder, error)) return;
  fs::create_directories(folder, error);
  if (!error) fs::permissions(folder, fs::perms::owner_all, error);
  if (error) throw JournalFailed("folder '" + folder.string() + "' cannot be made: " + error.message());
}

void make_private_file(const fs::path& file) {
  std::error_code error;
  if (fs::exists(file, error)) return;
  std::ofstream made(file, std::ios::binary | std::ios::app);
  if (!made) throw JournalFailed("file '" + file.string() + "' cannot be made; a folder with write permission would be right");
  made.close();
  fs::permissions(file, fs::perms::owner_read | fs::perms::owner_write, error);
  if (error) throw JournalFailed("file '" + file.string() + "' cannot be kept from others: " + error.message());
}

}  // namespace hushmill::journal
