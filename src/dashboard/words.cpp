#include "dashboard/words.hpp"

#include <ostream>

namespace hushmill::dashboard {

std::ostream& operator<<(std::ostream& out, const Words& words) { return out << words.view(); }

}  // namespace hushmill::dashboard
