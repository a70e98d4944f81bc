// `hushmill report`: a session of the journal, or a recording, as one HTML file or a PDF.
#pragma once

#include <functional>

namespace CLI {
class App;
}

namespace hushmill::app {

void add_report(CLI::App& app, std::function<int()>& run);

}  // namespace hushmill::app
