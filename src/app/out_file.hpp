// The file that a person wants written, looked at before the work and not after it.
#pragma once

#include <string>
#include <vector>

namespace hushmill::app {

/// Its ending, in small letters. Throws UsageError unless that is one of these, as ".wav", and its folder is there.
std::string check_out_file(const std::string& option, const std::string& file, const std::vector<std::string>& endings);
/// Only that its folder is there.
void check_out_folder(const std::string& option, const std::string& file);

}  // namespace hushmill::app
