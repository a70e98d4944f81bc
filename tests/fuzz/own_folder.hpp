// A folder of the process's own, in memory where TMPDIR says so, for targets whose door is a file.
#pragma once

#include <cstdio>
#include <filesystem>
#include <string_view>

#include "fuzz/promise.hpp"
#include "fuzz/targets.hpp"
#include "support/temporary_folder.hpp"

namespace hushmill::fuzz {

/// Made once, gone at the end of the process.
inline const std::filesystem::path& own_folder() {
  static const test::TemporaryFolder folder;
  return folder.path();
}

/// Replaces the file.
inline void put_file(const std::filesystem::path& file, Input bytes) {
  std::FILE* out = std::fopen(file.c_str(), "wb");
  promise(out != nullptr, "the folder takes files", file.string());
  const bool whole = std::fwrite(bytes.data(), 1, bytes.size(), out) == bytes.size();
  promise(std::fclose(out) == 0 && whole, "the folder takes files", file.string());
}

}  // namespace hushmill::fuzz
