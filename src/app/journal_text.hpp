// The journal in the terminal: the list of sessions and one session in full.
#pragma once

#include <string>
#include <vector>

#include "journal/records.hpp"

namespace hushmill::app {

std::string to_text(const std::vector<journal::SessionLine>& sessions);
std::string to_text(const journal::SessionRecord& record);
std::string recordings_text(const std::vector<journal::RecordingRow>& recordings);

}  // namespace hushmill::app
