// What must hold whatever comes in. Not assert(): it must also hold in builds that leave assertions out.
#pragma once

#include <cstdio>
#include <cstdlib>
#include <string>
#include <string_view>

namespace hushmill::fuzz {

/// Ends the process with these words when it does not hold.
inline void promise(bool holds, std::string_view words, std::string_view found = {}) {
  if (holds) return;
  const std::string line = "broken: " + std::string(words) + ": " + std::string(found) + "\n";
  std::fputs(line.c_str(), stderr);
  std::abort();
}

/// A complaint is one line that a terminal shows as it is.
inline void promise_one_line(std::string_view complaint) {
  promise(!complaint.empty(), "a complaint has words");
  for (const char c : complaint) promise(static_cast<unsigned char>(c) >= 0x20 && c != 0x7f, "a complaint is one line", complaint);
}

}  // namespace hushmill::fuzz
