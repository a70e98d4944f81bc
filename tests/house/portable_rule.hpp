// What a port may count on, read off every source file: beside its includes (see include_rule.hpp) a file may name nothing that
// only some systems have. The one door is platform/platform.cpp.
#pragma once

#include <set>
#include <string>
#include <string_view>
#include <vector>

namespace hushmill::test {

/// The names of functions that this text declares or defines.
std::set<std::string> declared_in(std::string_view text);

/// What in one source file only some systems have, one line each; `path` is below src/, as "signal/fft.cpp"; `own` are names
/// that its floor declares itself and may therefore call (a `close` of our own is not the system's).
std::vector<std::string> unportable(std::string_view path, std::string_view text, const std::set<std::string>& own);

/// Exceptions of this rule that no longer occur in `text` of the file at `path`, so that none outlives its reason.
std::vector<std::string> needless_exceptions(std::string_view path, std::string_view text);

}  // namespace hushmill::test
