// Moments as text: UTC by ISO 8601 (2019), with the local offset beside it so that a shop's own time can be shown.
#pragma once

#include <chrono>
#include <string>

namespace hushmill::journal {

using Moment = std::chrono::system_clock::time_point;

/// "2026-11-26T09:15:00.250Z".
std::string utc_text(Moment moment);
/// "20261126T091500Z", fit for a file's name.
std::string utc_for_a_name(Moment moment);
/// Local time less UTC at that moment, minutes. [not while another thread sets the time zone]
int utc_offset_min(Moment moment);
/// "2026-11-26 10:15:00 +01:00" of such a text and offset; the text itself when it is none.
std::string local_text(const std::string& utc, int offset_min);
/// The moment of such a text, else the epoch.
Moment moment_of(const std::string& utc);

}  // namespace hushmill::journal
