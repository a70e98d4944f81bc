#include <cmath>
#include <stdexcept>

#include "fuzz/own_folder.hpp"
#include "setup/cut_sheet.hpp"
#include "setup/setup.hpp"
#include "setup/taps.hpp"

namespace hushmill::fuzz {
namespace {

bool nearly(const std::optional<double>& a, const std::optional<double>& b) {
  return a.has_value() == b.has_value() && (!a || std::abs(*a - *b) <= 1e-6 * std::abs(*a) + 1e-12);
}

// What was read is written, and read again as the same.
void cut_there_and_back(const std::filesystem::path& file) {
  const auto cut = setup::load_cut_sheet(file);
  for (const auto unit : {setup::LengthUnit::millimetre, setup::LengthUnit::inch}) {
    const auto copy = own_folder() / "copy.toml";
    setup::save_cut_sheet(cut, unit, copy);
    try {
      const auto again = setup::load_cut_sheet(copy);
      promise(again.title.size() == cut.title.size() && again.flutes == cut.flutes && nearly(again.programmed_rpm, cut.programmed_rpm) && nearly(again.diameter_mm, cut.diameter_mm) &&
                  nearly(again.depth_mm, cut.depth_mm) && nearly(again.feed_mm_min, cut.feed_mm_min) && again.milling == cut.milling,
              "a cut that was written down is read as the same");
    } catch (const setup::BadSetup& refused) {
      promise(false, "a cut that was written down can be read", refused.what());
    }
  }
  setup::file_name_for(cut.title);
}

void taps_there_and_back(const std::filesystem::path& file, Input input) {
  const auto taps = setup::load_taps(file);
  const auto copy = own_folder() / "taps.toml";
  put_file(copy, input);
  std::size_t others = 0;
  for (const auto& mode : taps) others += mode.on != setup::TappedOn::tool ? 1U : 0U;
  setup::save_taps(copy, setup::TappedOn::tool, {{setup::TappedOn::tool, 1234.5, 0.02, 1, 0.001, 4}});
  try {
    const auto again = setup::load_taps(copy);
    promise(again.size() >= others + 1, "taps of other things stay");
  } catch (const setup::BadSetup& refused) {
    promise(false, "a file can be read after taps were kept in it", refused.what());
  }
}

template <class Work>
void refused_in_one_line(Work&& work) {
  try {
    work();
  } catch (const std::invalid_argument& refused) {
    promise_one_line(refused.what());
  }
}

}  // namespace

void sheets(Input input) {
  const auto file = own_folder() / "sheet.toml";
  put_file(file, input);
  refused_in_one_line([&] { cut_there_and_back(file); });
  refused_in_one_line([&] { taps_there_and_back(file, input); });
}

}  // namespace hushmill::fuzz
