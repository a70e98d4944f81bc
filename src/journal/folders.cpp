#include "journal/folders.hpp"

#include <cstdlib>
#include <fstream>

#include "journal/errors.hpp"

namespace hushmill::journal {
namespace {

namespace fs = std::filesystem;

std::optional<fs::path> absolute_from(const char* variable) {
  const char* value = std::getenv(variable);
  if (value == nullptr) return std::nullopt;
  fs::path folder(value);
  if (!folder.is_absolute()) return std::nullopt;  // as the specification asks, it counts as not set
  return folder;
}

}  // namespace

std::optional<fs::path> data_folder() {
  if (const auto data = absolute_from("XDG_DATA_HOME")) return *data / "hushmill";
  if (const auto home = absolute_from("HOME")) return *home / ".local" / "share" / "hushmill";
  return std::nullopt;
}

std::optional<fs::path> settings_folder() {
  if (const auto settings = absolute_from("XDG_CONFIG_HOME")) return *settings / "hushmill";
  if (const auto home = absolute_from("HOME")) return *home / ".config" / "hushmill";
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
