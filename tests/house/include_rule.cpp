#include "house/include_rule.hpp"

#include <algorithm>
#include <array>
#include <iterator>
#include <optional>

namespace hushmill::test {
namespace {

struct Floor {
  std::string_view folder;
  int height;
};
constexpr std::array kFloors{
    Floor{"text", 0}, Floor{"signal", 0},  Floor{"cutting", 0}, Floor{"realtime", 0},  Floor{"platform", 0}, Floor{"listen", 1},  Floor{"rig", 1},
    Floor{"advise", 1},  Floor{"trial", 1},   Floor{"capture", 1},   Floor{"journal", 1}, Floor{"setup", 1},
    Floor{"picture", 1}, Floor{"tap", 1},     Floor{"lessons", 1},   Floor{"live", 2},    Floor{"report", 2},
    Floor{"dashboard", 3}, Floor{"app", 4},
};

// The doors between neighbours of one floor.
struct Door {
  std::string_view from, to;
};
constexpr std::array kDoors{Door{"advise", "listen"}, Door{"capture", "rig"}, Door{"setup", "rig"},
                            Door{"trial", "listen"},   Door{"lessons", "listen"}, Door{"lessons", "rig"},
                            Door{"lessons", "tap"},    Door{"journal", "capture"}, Door{"cutting", "text"}};

// Where a library's headers may be seen: a folder (ending in '/') or one file. An operating system's headers count too.
struct Home {
  std::string_view header;  ///< how the name between the brackets begins
  std::array<std::string_view, 4> seen_by;
};
constexpr std::array kHomes{
    Home{"kiss_fft", {"signal/fft.cpp"}},
    Home{"Eigen/", {"cutting/", "tap/", "lessons/two_tones.cpp"}},
    Home{"boost/lockfree/", {"realtime/ring.hpp"}},
    Home{"boost/", {"realtime/", "cutting/"}},
    Home{"portaudio", {"capture/audio_stream.cpp"}},
    Home{"pa_", {"capture/audio_stream.cpp"}},
    Home{"sndfile", {"capture/sound_file.hpp"}},
    Home{"sqlite3", {"journal/"}},
    Home{"cairo", {"picture/"}},
    Home{"pango", {"picture/"}},
    Home{"spdlog/", {"live/log.cpp"}},
    Home{"fmt/", {"trial/words.cpp", "live/", "dashboard/", "app/"}},
    Home{"imgui", {"dashboard/"}},
    Home{"backends/imgui", {"dashboard/"}},
    Home{"GLFW/", {"dashboard/"}},
    Home{"GL/", {"dashboard/"}},
    Home{"png.h", {"dashboard/"}},
    Home{"CLI/", {"app/"}},
    Home{"nlohmann/", {"app/"}},
    Home{"toml++/", {"setup/sheet.cpp", "app/"}},
    Home{"fcntl.h", {"platform/platform.cpp"}},
    Home{"unistd.h", {"platform/platform.cpp"}},
    Home{"sys/stat.h", {"platform/platform.cpp"}},
    Home{"io.h", {"platform/platform.cpp"}},
    Home{"windows.h", {"platform/platform.cpp"}},
};

// The headers of the C++20 standard library, free to all. The C headers with .h are not among them.
constexpr std::string_view kStandard[] = {"algorithm",
                                          "any",
                                          "array",
                                          "atomic",
                                          "barrier",
                                          "bit",
                                          "bitset",
                                          "cassert",
                                          "cctype",
                                          "cerrno",
                                          "cfenv",
                                          "cfloat",
                                          "charconv",
                                          "chrono",
                                          "cinttypes",
                                          "climits",
                                          "clocale",
                                          "cmath",
                                          "codecvt",
                                          "compare",
                                          "complex",
                                          "concepts",
                                          "condition_variable",
                                          "coroutine",
                                          "csetjmp",
                                          "csignal",
                                          "cstdarg",
                                          "cstddef",
                                          "cstdint",
                                          "cstdio",
                                          "cstdlib",
                                          "cstring",
                                          "ctime",
                                          "cuchar",
                                          "cwchar",
                                          "cwctype",
                                          "deque",
                                          "exception",
                                          "execution",
                                          "filesystem",
                                          "format",
                                          "forward_list",
                                          "fstream",
                                          "functional",
                                          "future",
                                          "initializer_list",
                                          "iomanip",
                                          "ios",
                                          "iosfwd",
                                          "iostream",
                                          "istream",
                                          "iterator",
                                          "latch",
                                          "limits",
                                          "list",
                                          "locale",
                                          "map",
                                          "memory",
                                          "memory_resource",
                                          "mutex",
                                          "new",
                                          "numbers",
                                          "numeric",
                                          "optional",
                                          "ostream",
                                          "queue",
                                          "random",
                                          "ranges",
                                          "ratio",
                                          "regex",
                                          "scoped_allocator",
                                          "semaphore",
                                          "set",
                                          "shared_mutex",
                                          "source_location",
                                          "span",
                                          "sstream",
                                          "stack",
                                          "stdexcept",
                                          "stop_token",
                                          "streambuf",
                                          "string",
                                          "string_view",
                                          "syncstream",
                                          "system_error",
                                          "thread",
                                          "tuple",
                                          "type_traits",
                                          "typeindex",
                                          "typeinfo",
                                          "unordered_map",
                                          "unordered_set",
                                          "utility",
                                          "valarray",
                                          "variant",
                                          "vector",
                                          "version"};

std::optional<int> height(std::string_view folder) {
  for (const Floor& floor : kFloors)
    if (floor.folder == folder) return floor.height;
  return std::nullopt;
}

std::string_view folder_of(std::string_view path) { return path.substr(0, path.find('/')); }

bool has_door(std::string_view from, std::string_view to) {
  return std::any_of(kDoors.begin(), kDoors.end(), [&](const Door& d) { return d.from == from && d.to == to; });
}

std::string own_header_trouble(std::string_view path, std::string_view header) {
  const auto here = folder_of(path);
  const auto there = folder_of(header);
  const auto high = height(here);
  const auto low = height(there);
  if (!high) return "folder '" + std::string(here) + "' is no floor of the house";
  if (!low) return "does not say its floor, as \"signal/fft.hpp\"";
  if (*low > *high) return "points up, from " + std::string(here) + " to " + std::string(there);
  if (*low == *high && here != there && !has_door(here, there))
    return "points sideways, from " + std::string(here) + " to " + std::string(there);
  // The screen knows what was heard, never what hears or where sound comes from.
  if (here == "dashboard" && (there == "capture" || header == "listen/listener.hpp"))
    return "lets the screen touch the detector or a source";
  return {};
}

std::string library_trouble(std::string_view path, std::string_view header) {
  if (std::find(std::begin(kStandard), std::end(kStandard), header) != std::end(kStandard)) return {};
  for (const Home& home : kHomes) {
    if (header.substr(0, home.header.size()) != home.header) continue;
    const bool at_home = std::any_of(home.seen_by.begin(), home.seen_by.end(), [&](std::string_view seen_by) {
      return !seen_by.empty() && (seen_by.back() == '/' ? path.substr(0, seen_by.size()) == seen_by : path == seen_by);
    });
    return at_home ? std::string() : "is outside its home, " + std::string(home.seen_by.front());
  }
  return "has no home; name one in tests/house/include_rule.cpp";
}

}  // namespace

std::vector<std::string> broken_rules(std::string_view path, std::string_view text) {
  std::vector<std::string> broken;
  int number = 0;
  while (!text.empty()) {
    auto line = text.substr(0, text.find('\n'));
    text.remove_prefix(std::min(text.size(), line.size() + 1));
    ++number;
    const auto skip = [&line] { line.remove_prefix(std::min(line.size(), line.find_first_not_of(" \t"))); };
    skip();
    if (line.substr(0, 1) != "#") continue;
    line.remove_prefix(1);
    skip();
    if (line.substr(0, 7) != "include") continue;
    line.remove_prefix(7);
    skip();
    const bool own = line.substr(0, 1) == "\"";
    const auto end = line.size() > 1 ? line.find(own ? '"' : '>', 1) : std::string_view::npos;
    std::string trouble;
    if ((!own && line.substr(0, 1) != "<") || end == std::string_view::npos) {
      trouble = "cannot be read";
    } else {
      const auto header = line.substr(1, end - 1);
      trouble = own ? own_header_trouble(path, header) : library_trouble(path, header);
    }
    if (!trouble.empty())
      broken.push_back("src/" + std::string(path) + ":" + std::to_string(number) + ": " + std::string(line) + " " +
                       trouble);
  }
  return broken;
}

std::vector<std::string> source_files(const std::filesystem::path& src) {
  std::vector<std::string> files;
  for (const auto& entry : std::filesystem::recursive_directory_iterator(src)) {
    const auto kind = entry.path().extension();
    if (entry.is_regular_file() && (kind == ".hpp" || kind == ".cpp"))
      files.push_back(entry.path().lexically_relative(src).generic_string());
  }
  std::sort(files.begin(), files.end());
  return files;
}

}  // namespace hushmill::test
