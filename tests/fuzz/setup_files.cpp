#include <fstream>
#include <string>

#include "fuzz/food.hpp"
#include "fuzz/own_folder.hpp"
#include "setup/setup.hpp"

// The input is several files, one after the other. Each but the first, the set-up itself, begins behind a line "%% NAME".
namespace hushmill::fuzz {
namespace {

constexpr const char* kFiles[] = {"setup.toml", "tool.toml", "hold.toml", "machine.toml", "material.toml", "x.csv", "y.csv"};

void lay_out(Input input, const std::filesystem::path& folder) {
  std::string texts[std::size(kFiles)];
  std::size_t now = 0;
  Food food(input);
  while (!food.empty()) {
    const std::string line = food.line();
    bool named = false;
    for (std::size_t i = 0; i < std::size(kFiles); ++i)
      if (line == std::string("%% ") + kFiles[i]) {
        now = i;
        named = true;
      }
    if (!named) texts[now] += line + "\n";
  }
  for (std::size_t i = 0; i < std::size(kFiles); ++i)
    put_file(folder / kFiles[i], Input(reinterpret_cast<const std::uint8_t*>(texts[i].data()), texts[i].size()));
}

}  // namespace

void setup_files(Input input) {
  const auto folder = own_folder();
  lay_out(input, folder);
  try {
    const auto setup = setup::load_setup(folder / kFiles[0]);
    promise(setup.model.cutter.flutes >= 1 && setup.model.cutter.flutes <= 64 && setup.spindle_rpm >= setup.min_rpm, "a set-up that was taken keeps its limits");
  } catch (const setup::BadSetup& refused) {
    promise_one_line(refused.what());
  }
}

}  // namespace hushmill::fuzz
