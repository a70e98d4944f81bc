#include "plain.hpp"

#include <string_view>

#include "dashboard/numbers.hpp"

namespace hushmill::test {

std::string plain(const std::string& text) {
  const std::string_view gap = dashboard::kThinGap;
  std::string result;
  for (std::size_t at = 0; at < text.size();) {
    const bool here = std::string_view(text).substr(at, gap.size()) == gap;
    result.push_back(here ? ' ' : text[at]);
    at += here ? gap.size() : 1;
  }
  return result;
}

}  // namespace hushmill::test
