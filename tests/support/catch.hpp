// Catch2 2 (Debian 12) and Catch2 3 (Debian 13, Ubuntu 24.04) behind one include.
#pragma once

#include <string>

#if __has_include(<catch2/catch_all.hpp>)
#include <catch2/catch_all.hpp>
#else
#include <catch2/catch.hpp>
#endif

namespace hushmill::test {
#if __has_include(<catch2/catch_all.hpp>)
using Catch::Approx;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
inline auto Contains(const std::string& part) { return Catch::Matchers::ContainsSubstring(part); }
#else
using Catch::Detail::Approx;
using Catch::WithinAbs;
using Catch::Matchers::WithinRel;
inline auto Contains(const std::string& part) { return Catch::Contains(part); }
#endif
}  // namespace hushmill::test
