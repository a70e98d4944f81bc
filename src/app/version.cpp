#include "app/version.hpp"

#include "app/build_name.hpp"  // written at every build by build_name.cmake

namespace hushmill::app {

std::string version_text() {
  return "hushmill " HUSHMILL_VERSION "\nbuild " HUSHMILL_BUILD_NAME ", " HUSHMILL_BUILD_WAY;
}

}  // namespace hushmill::app
