#include "bench/machine.hpp"

#include <ctime>
#include <fstream>

namespace hushmill::bench {

// Linux tells the name in /proc/cpuinfo; a port adds its own system's way here.
std::string processor_name() {
  std::ifstream info("/proc/cpuinfo");
  for (std::string line; std::getline(info, line);) {
    if (line.rfind("model name", 0) != 0) continue;
    const auto colon = line.find(": ");
    if (colon != std::string::npos) return line.substr(colon + 2);
  }
  return "unknown processor";
}

double processor_seconds() { return static_cast<double>(std::clock()) / CLOCKS_PER_SEC; }

}  // namespace hushmill::bench
