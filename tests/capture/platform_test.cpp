#include "capture/platform.hpp"

#include <cstdio>
#include <iostream>
#include <memory>

#include "support/catch.hpp"
#include "support/errors_to_file.hpp"

using hushmill::capture::QuietErrors;
using hushmill::test::ErrorsToFile;

TEST_CASE("while quiet, foreign remarks are muted and our own words are heard; afterwards all are") {
  ErrorsToFile errors;
  {
    const QuietErrors quiet;
    {
      const QuietErrors nested;
      std::fprintf(stderr, "ALSA lib: remark\n");
    }
    std::fprintf(stderr, "another remark\n");
    std::cerr << "our word\n";
  }
  std::fprintf(stderr, "after\n");
#ifdef __GLIBC__
  CHECK(errors.text() == "our word\nafter\n");
#else
  CHECK(errors.text().find("our word\n") != std::string::npos);
#endif
}
