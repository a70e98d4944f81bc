// `hushmill lobes`: the stability chart of a set-up file, as a table, as JSON or as a picture.
#pragma once

#include <functional>

namespace CLI {
class App;
}

namespace hushmill::app {

void add_lobes(CLI::App& app, std::function<int()>& run);

}  // namespace hushmill::app
