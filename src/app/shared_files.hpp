// Files that are installed beside the program: the set-ups that the examples name.
#pragma once

#include <string>

namespace hushmill::app {

/// `named` where such a file or folder is there; else the installed one of that name (config/bracket-wall.toml below
/// share/hushmill-examples), if there is one; else `named` again, so that the error speaks of what was typed.
std::string with_installed(const std::string& named);

}  // namespace hushmill::app
