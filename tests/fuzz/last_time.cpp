#include "app/last_time.hpp"

#include <stdexcept>

#include "fuzz/own_folder.hpp"
#include "live/card_question.hpp"
#include "live/shelf.hpp"
#include "setup/cut_sheet.hpp"

namespace hushmill::fuzz {

void last_time(Input input) {
  const auto file = own_folder() / "last_time.toml", copy = own_folder() / "last_time_again.toml";
  put_file(file, input);
  if (const auto last = app::read_last_time(file)) {
    promise(app::write_last_time(copy, *last), "how the program was left can be written");
    promise(app::read_last_time(copy).has_value(), "how the program was left can be read again");
    const auto& liking = last->liking;
    promise(liking.width >= 640 && liking.width <= 7680 && liking.height >= 360 && liking.height <= 4320, "a window has a size");
  }
  // The same bytes as a cut that the dashboard offers.
  try {
    live::check_card(live::card_of(setup::load_cut_sheet(file)));
  } catch (const std::invalid_argument& refused) {
    promise_one_line(refused.what());
  }
}

}  // namespace hushmill::fuzz
