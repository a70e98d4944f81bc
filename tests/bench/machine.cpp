#include "bench/machine.hpp"

#include <unistd.h>

#include <ctime>
#include <fstream>
#include <stdexcept>

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

// Linux: the second number in /proc/self/statm, in pages; a port adds its own system's way here.
double resident_bytes() {
  std::ifstream sizes("/proc/self/statm");
  double all = 0, resident = 0;
  if (!(sizes >> all >> resident)) throw std::runtime_error("the system does not tell how much memory is in use");
  return resident * static_cast<double>(sysconf(_SC_PAGESIZE));
}

}  // namespace hushmill::bench
