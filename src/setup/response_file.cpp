#include "setup/response_file.hpp"

#include <cmath>
#include <fstream>
#include <locale>
#include <sstream>
#include <string>

#include "setup/setup.hpp"

namespace hushmill::setup {

std::vector<cutting::ResponsePoint> load_response(const std::filesystem::path& file) {
  std::ifstream in(file);
  if (!in) throw BadSetup(file.string() + ": cannot be read; a file of Hz, real, imaginary in m/N would be right");
  std::vector<cutting::ResponsePoint> points;
  bool heading_seen = false;
  std::string line;
  for (int number = 1; std::getline(in, line); ++number) {
    if (line.find_first_not_of(" \t\r") == std::string::npos || line.front() == '#') continue;
    std::string spaced = line;
    for (char& c : spaced) {
      if (c == ',' || c == ';' || c == '\t' || c == '\r') c = ' ';
    }
    std::istringstream numbers(spaced);
    numbers.imbue(std::locale::classic());
    double hz = 0;
    double real = 0;
    double imaginary = 0;
    std::string more;
    const bool good = static_cast<bool>(numbers >> hz >> real >> imaginary) && !(numbers >> more) &&
                      std::isfinite(hz) && std::isfinite(real) && std::isfinite(imaginary);
    if (!good) {
      if (points.empty() && !heading_seen && line.find_first_of("0123456789") == std::string::npos) {
        heading_seen = true;
        continue;
      }
      throw BadSetup(file.string() + ": line " + std::to_string(number) + " is '" + line.substr(0, 60) +
                     "'; Hz, real, imaginary in m/N would be right");
    }
    points.push_back({hz, {real, imaginary}});
  }
  return points;
}

}  // namespace hushmill::setup
