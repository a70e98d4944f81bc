#include "house/include_rule.hpp"

#include <fstream>
#include <sstream>
#include <string>

#include "support/catch.hpp"

using namespace hushmill;

TEST_CASE("every include in src points down, and every library is seen in its one home") {
  const std::filesystem::path src = std::filesystem::path(HUSHMILL_SOURCE_DIR) / "src";
  const auto files = test::source_files(src);
  REQUIRE(files.size() > 50);
  std::string broken;
  for (const auto& file : files) {
    std::ostringstream read;
    read << std::ifstream(src / file).rdbuf();
    const std::string text = read.str();
    REQUIRE_FALSE(text.empty());
    for (const auto& line : test::broken_rules(file, text)) broken += line + "\n";
  }
  INFO(broken);
  CHECK(broken.empty());
}

TEST_CASE("the rule sees what it is there to see") {
  const auto broken = [](const char* path, const char* text) { return test::broken_rules(path, text).size(); };
  SECTION("down, doors and homes are free") {
    CHECK(broken("listen/frames.hpp",
                 "#include <vector>\n#include \"listen/row.hpp\"\n#include \"signal/fft.hpp\"\n") == 0);
    CHECK(broken("advise/advise.cpp", "#include \"listen/findings.hpp\"\n") == 0);
    CHECK(broken("capture/rig_source.hpp", "#include \"rig/rig.hpp\"\n") == 0);
    CHECK(broken("signal/fft.cpp", "#include <kiss_fftr.h>\n") == 0);
    CHECK(broken("app/main.cpp", "#include \"dashboard/window.hpp\"\n#include <CLI/CLI.hpp>\n") == 0);
  }
  SECTION("up") {
    CHECK(broken("signal/fft.cpp", "#include \"listen/row.hpp\"\n") == 1);
    CHECK(broken("listen/row.hpp", "// a row\n#pragma once\n  #  include \"live/state.hpp\"\n") == 1);
    CHECK(broken("live/live.cpp", "#include \"dashboard/window.hpp\"") == 1);
  }
  SECTION("sideways") {
    CHECK(broken("signal/fft.cpp", "#include \"cutting/speeds.hpp\"\n") == 1);
    CHECK(broken("listen/row.hpp", "#include \"advise/advice.hpp\"\n") == 1);
    CHECK(broken("rig/rig.hpp", "#include \"capture/source.hpp\"\n") == 1);
  }
  SECTION("the screen and the detector") {
    CHECK(broken("dashboard/panel.cpp", "#include \"listen/snapshot.hpp\"\n") == 0);
    CHECK(broken("dashboard/panel.cpp", "#include \"listen/listener.hpp\"\n") == 1);
    CHECK(broken("dashboard/panel.cpp", "#include \"capture/source.hpp\"\n") == 1);
  }
  SECTION("libraries away from home, unknown ones and unnamed floors") {
    CHECK(broken("signal/lines.cpp", "#include <kiss_fftr.h>\n") == 1);
    CHECK(broken("listen/listener.cpp", "#include <portaudio.h>\n#include <sndfile.h>\n") == 2);
    CHECK(broken("capture/recording.cpp", "#include <unistd.h>\n") == 1);
    CHECK(broken("platform/platform.cpp", "#include <unistd.h>\n") == 0);
    CHECK(broken("app/main.cpp", "#include <someone/elses.hpp>\n") == 1);
    for (const std::string header : {"sys/stat.h", "sys/mman.h", "dlfcn.h", "pthread.h", "poll.h", "signal.h", "fcntl.h", "time.h", "windows.h", "linux/futex.h"})
      CHECK(broken("live/live.cpp", ("#include <" + header + ">\n").c_str()) == 1);
    CHECK(broken("app/main.cpp", "#include \"main.hpp\"\n") == 1);
    CHECK(broken("shed/tools.cpp", "#include \"signal/fft.hpp\"\n") == 1);
    CHECK(broken("app/main.cpp", "#include HEADER\n") == 1);
  }
}
