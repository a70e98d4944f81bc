// Which version this is, from which sources, and how it was built.
#pragma once

#include <string>

namespace hushmill::app {

/// Two lines: "hushmill 0.1.0" and "build 3af9ee2c1f0a, GNU 12.2.0, RelWithDebInfo". The build is what git calls the checkout
/// ("-changed" when files differ from it) or what the packager named. No date: the same sources give the same program.
std::string version_text();

}  // namespace hushmill::app
