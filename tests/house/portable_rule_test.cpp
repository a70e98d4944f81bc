#include "house/portable_rule.hpp"

#include <filesystem>
#include <fstream>
#include <map>
#include <sstream>

#include "house/include_rule.hpp"
#include "support/catch.hpp"

using namespace hushmill;

TEST_CASE("what only some systems have is called in the one door alone") {
  const std::filesystem::path src = std::filesystem::path(HUSHMILL_SOURCE_DIR) / "src";
  std::map<std::string, std::string> texts;
  std::map<std::string, std::set<std::string>> declared;  // by floor
  const auto floor_of = [](const std::string& file) { return file.substr(0, file.find('/')); };
  for (const auto& file : test::source_files(src)) {
    std::ostringstream read;
    read << std::ifstream(src / file).rdbuf();
    texts[file] = read.str();
    declared[floor_of(file)].merge(test::declared_in(texts[file]));
  }
  REQUIRE(texts.size() > 50);
  std::string broken;
  for (const auto& [file, text] : texts) {
    for (const auto& line : test::unportable(file, text, declared[floor_of(file)])) broken += line + "\n";
    for (const auto& line : test::needless_exceptions(file, text)) broken += line + "\n";
  }
  INFO(broken);
  CHECK(broken.empty());
}

TEST_CASE("names that Catch2 2 and 3 keep in different places come by support/catch.hpp") {
  const std::filesystem::path tests = std::filesystem::path(HUSHMILL_SOURCE_DIR) / "tests";
  const std::string qualifier = "Catch";  // so that this file does not find itself
  const auto taken_past_the_door = [&](const std::string& text) {
    for (const std::string& name : {qualifier + "::", std::string(" ") + "Approx("})
      if (text.find(name) != std::string::npos) return true;
    return false;
  };
  CHECK(taken_past_the_door("using " + qualifier + "::Matchers::Contains;"));
  CHECK_FALSE(taken_past_the_door("CHECK(x == test::Approx(3));"));
  std::string past_the_door;
  for (const auto& file : test::source_files(tests)) {
    if (file == "support/catch.hpp" || file == "support/test_main.cpp" || file == "house/portable_rule_test.cpp") continue;
    std::ostringstream read;
    read << std::ifstream(tests / file).rdbuf();
    if (taken_past_the_door(read.str())) past_the_door += file + "\n";
  }
  INFO(past_the_door);
  CHECK(past_the_door.empty());
}

TEST_CASE("the rule of the one door sees what it is there to see") {
  const auto broken = [](const std::string& text, const char* path = "capture/recording.cpp") {
    return test::unportable(path, text, test::declared_in(text)).size();
  };
  SECTION("calls of the system, bare and from the global namespace") {
    CHECK(broken("void f() { usleep(3); }") == 1);
    CHECK(broken("int f() { return fork(); }") == 1);
    CHECK(broken("void f() { if (x) ::close(3); else write(1, a, 2); }") == 2);
    CHECK(broken("auto t = localtime_r(&a, &b);") == 1);
    CHECK(broken("double y = 2 * sincos(a, &b, &c);") == 1);
    CHECK(broken("const char* home = std::getenv(\"WHERE\");") == 1);
    CHECK(broken("std::system(\"ls\");") == 1);
    CHECK(broken("bool system = true; a.native_handle();") == 0);
    CHECK(broken("pthread_setname_np(x, \"y\");") == 1);
  }
  SECTION("our own functions of such names") {
    CHECK(broken("file.close(); door->open(3); std::vector<int> read(7); log::write(x);") == 0);
    CHECK(broken("struct A { void open(int); void f() { open(3); } };") == 0);
    CHECK(broken("void A::close() { }\nvoid A::g() { close(); }") == 0);
    CHECK(broken("A& select(int);\nvoid f() { select(3); }") == 0);
  }
  SECTION("types, constants and questions about the system") {
    CHECK(broken("ssize_t n = 0;") == 1);
    CHECK(broken("double turn = 2 * M_PI;") == 1);
    CHECK(broken("#ifdef __linux__\n#endif\n#if defined(_WIN32)\n#endif\n") == 2);
    CHECK(broken("if (__builtin_cpu_supports(\"avx2\")) {}") == 1);
    CHECK(broken("std::size_t n = 1'000'000; double pi = std::numbers::pi;") == 0);
  }
  SECTION("places") {
    CHECK(broken("open_file(\"/proc/self/exe\");") == 1);
    CHECK(broken("folders = {\"/usr/share/fonts\", \"C:/Windows\"};") == 2);
    CHECK(broken("say(\"/procure\", \"and/or\", \"/\");") == 0);
  }
  SECTION("not in comments, and all of it in the door") {
    CHECK(broken("// fork() \n/* M_PI */ int a;\n#include <sys/time.h>\n") == 0);
    CHECK(broken("int a = fsync(open(\"/dev/null\", O_RDONLY));", "platform/platform.cpp") == 0);
    CHECK(broken("int a = fsync(open(\"/dev/null\", O_RDONLY));", "platform/other.cpp") == 4);
  }
  SECTION("exceptions stand for one file and one name, and go when they are not needed") {
    CHECK(broken("#ifdef __GNUC__\n#endif\n", "advise/tooth_growth.cpp") == 0);
    CHECK(broken("#ifdef __GNUC__\n#endif\n", "advise/advise.cpp") == 1);
    CHECK_FALSE(test::needless_exceptions("advise/tooth_growth.cpp", "int a;").empty());
  }
}
