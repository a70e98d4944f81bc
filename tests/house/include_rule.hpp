// The rule of the house, read off every #include: down and never up, sideways only where the house has a door, and each
// library of others in its one home.
#pragma once

#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

namespace hushmill::test {

/// What is wrong with the includes of one source file, one line each; `path` is below src/, as "signal/fft.cpp".
std::vector<std::string> broken_rules(std::string_view path, std::string_view text);

/// The source files below `src`, as paths below it, sorted.
std::vector<std::string> source_files(const std::filesystem::path& src);

}  // namespace hushmill::test
