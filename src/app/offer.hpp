// What the greeting offers: the microphones of this computer and the sound files that lie near.
#pragma once

#include <filesystem>
#include <optional>
#include <span>

#include "app/doors.hpp"
#include "dashboard/greeting.hpp"

namespace hushmill::app {

/// Sound files of these folders (not of those below), newest first, at most forty. A folder that is not there holds none.
std::vector<std::string> sound_files(std::span<const std::filesystem::path> folders);

/// Microphones, and the recordings of the data folder, of the working folder and of its folder `recordings`. Takes some
/// 10 ms, for the sound devices.
dashboard::Offer make_offer(const std::string& data, std::optional<dashboard::Choice> last);

/// The options that open this choice. `base` keeps what the person typed beside it (what is kept, the rig's own options).
DoorTexts door_texts_for(const dashboard::Choice& choice, DoorTexts base);

}  // namespace hushmill::app
