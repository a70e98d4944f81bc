// Writes manual page and completions at build time: hushmill_pages MANUAL_TEXT VERSION FOLDER. Not installed.
#include <CLI/CLI.hpp>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <functional>
#include <sstream>
#include <stdexcept>
#include <string>

#include "app/commands.hpp"
#include "app/install/command_table.hpp"
#include "app/install/completions.hpp"
#include "app/install/manual_page.hpp"

namespace {

std::string read(const std::filesystem::path& file) {
  std::ostringstream text;
  std::ifstream in(file, std::ios::binary);
  text << in.rdbuf();
  if (!in) throw std::runtime_error("'" + file.string() + "' cannot be read");
  return text.str();
}

void write(const std::filesystem::path& file, const std::string& text) {
  std::ofstream out(file, std::ios::binary);
  out << text;
  out.close();
  if (!out) throw std::runtime_error("'" + file.string() + "' cannot be written");
}

}  // namespace

int main(int argc, char* argv[]) {
  using namespace hushmill;
  if (argc != 4) {
    std::fprintf(stderr, "hushmill_pages: three words are needed: text of the manual page, version, folder to write to\n");
    return 2;
  }
  try {
    CLI::App app;
    std::function<int()> run;
  const auto dashboard = app::make_command_line(app, run);
    const auto table = app::command_table(app);
    const std::filesystem::path folder = argv[3];
    write(folder / "hushmill.1", app::manual_page(read(argv[1]), table, argv[2]));
    write(folder / "hushmill.bash", app::bash_completion(table));
    write(folder / "hushmill.fish", app::fish_completion(table));
    return 0;
  } catch (const std::exception& error) {
    std::fprintf(stderr, "hushmill_pages: %s\n", error.what());
    return 1;
  }
}
