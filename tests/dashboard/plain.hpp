// Screen text with plain spaces in place of the narrow gaps, for reading in tests.
#pragma once

#include <string>

namespace hushmill::test {

std::string plain(const std::string& text);

}  // namespace hushmill::test
