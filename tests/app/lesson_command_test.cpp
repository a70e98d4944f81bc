// `hushmill lesson` without a window, as a person would use it.
#include <fstream>
#include <sstream>

#include "app/bench_folder.hpp"
#include "support/catch.hpp"

using namespace hushmill;

TEST_CASE("a lesson is written to a sound file by a script, with its account") {
  const test::BenchFolder bench;
  const auto run = bench.hushmill({"lesson", "forks", "--turn", "0.5:1:440", "--do", "0.6:1", "--for-s", "3", "--out", bench.path("forks.wav")});
  CHECK(run.code == 0);
  CHECK(run.out.find("[answered] Strike the first fork alone") != std::string::npos);
  CHECK(run.out.find("[open]     Then make it stay silent") != std::string::npos);
  std::ostringstream account;
  account << std::ifstream(bench.path("forks.txt")).rdbuf();
  CHECK(account.str().find("0.50 s  Second fork: 440.0 Hz") != std::string::npos);
  CHECK(account.str().find("0.60 s  Strike the first fork") != std::string::npos);
}

TEST_CASE("a turn that is in range where it is made is taken") {
  const test::BenchFolder bench;
  const auto run = bench.hushmill({"lesson", "lower-or-higher", "--turn", "0.1:2:150", "--turn", "0.2:1:2", "--for-s", "0.3", "--out", bench.path("k.wav")});
  CHECK(run.code == 0);
}

TEST_CASE("a lesson that is not there, and steps that it does not have, are refused in one line") {
  const test::BenchFolder bench;
  const auto refused = [&](const std::vector<std::string>& words, const char* part) {
    const auto run = bench.hushmill(words);
    INFO(run.err);
    CHECK(run.code == 2);
    CHECK(run.err.find(part) != std::string::npos);
    CHECK(std::count(run.err.begin(), run.err.end(), '\n') == 1);
  };
  const auto out = bench.path("x.wav");
  refused({"lesson", "spoons", "--out", out}, "forks, wavy-wall, lobes");
  refused({"lesson", "forks", "--turn", "1:9:4", "--out", out}, "1 to 3");
  refused({"lesson", "forks", "--turn", "1:1:9", "--out", out}, "430 to 450");
  refused({"lesson", "forks", "--turn", "now", "--out", out}, "2:1:440");
  // The knob of the stubborn cut ends at 120 %, that of the side wall at 150 %.
  refused({"lesson", "lower-or-higher", "--turn", "1:1:2", "--turn", "2:2:150", "--out", out}, "50 to 120");
  refused({"lesson", "forks", "--do", "1:8", "--out", out}, "1 to 3");
  refused({"lesson", "forks", "--out", bench.path("x.mp9")}, "x.mp9");
}
