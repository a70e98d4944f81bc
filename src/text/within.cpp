#include "text/within.hpp"

#include <sstream>
#include <stdexcept>

namespace hushmill::text {

void within(std::string_view field, double value, double least, double most) {
  if (value >= least && value <= most) return;
  std::ostringstream line;
  line << field << " is " << value << "; " << least << " to " << most << " would be right";
  throw std::invalid_argument(line.str());
}

}  // namespace hushmill::text
