#include "capture/platform.hpp"

#include <cstdio>
#include <iostream>
#include <string>
#include <thread>

#include "support/catch.hpp"
#include "support/errors_to_file.hpp"

using hushmill::capture::QuietCall;
using hushmill::capture::QuietSoundSystem;
using hushmill::test::ErrorsToFile;

#ifdef __GLIBC__

TEST_CASE("remarks of sound systems are left out, from any thread and in any pieces, and all else passes") {
  const ErrorsToFile errors;
  {
    const QuietSoundSystem quiet;
    {
      const QuietSoundSystem nested;
      std::fprintf(stderr, "ALSA lib pcm.c:%d:(", 123);
      std::fprintf(stderr, "snd_pcm_open) Unknown PCM %s", "front");
      std::fputs("\n", stderr);
    }
    std::fprintf(stderr, "Expression 'x' failed in 'y'\nhushmill: a word of ours\nExpression 'z' failed\n");
    std::thread([] { std::fputs("Expression 'in the audio thread' failed\n", stderr); }).join();
    std::fputs("terminate called\n", stderr);
    std::cerr << "std::cerr, too\n";
    std::fputs("no line end", stderr);
  }
  std::fputs("\nALSA lib is heard again\n", stderr);
  CHECK(errors.text() ==
        "hushmill: a word of ours\nterminate called\nstd::cerr, too\nno line end\nALSA lib is heard again\n");
}

TEST_CASE("during a call into a sound system, this thread's lines are left out and other threads' are not") {
  const ErrorsToFile errors;
  {
    const QuietCall quiet;
    std::fputs("a remark of a new kind\n", stderr);
    std::thread([] { std::fputs("another thread's word\n", stderr); }).join();
    std::fputs("a remark without an end", stderr);
  }
  std::fputs("after\n", stderr);
  CHECK(errors.text() == "another thread's word\nafter\n");
}

#else

TEST_CASE("where nothing is muted, nothing is lost") {
  const ErrorsToFile errors;
  {
    const QuietCall quiet;
    std::fputs("word\n", stderr);
  }
  CHECK(errors.text() == "word\n");
}

#endif
