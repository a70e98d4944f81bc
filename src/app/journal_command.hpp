// `hushmill journal`: list, show, export, prune and the small things one does to what was kept.
#pragma once

#include <functional>

namespace CLI {
class App;
}

namespace hushmill::app {

void add_journal(CLI::App& app, std::function<int()>& run);

}  // namespace hushmill::app
