// Recordings of sessions that were killed: nobody put down their end, length and hash, so nothing told whether they are still what
// was kept, and no rule let them go for a day. Reads whole files: a thread of its own.
#pragma once

#include <cstddef>
#include <filesystem>
#include <stop_token>

namespace hushmill::live {

/// Closes those in the journal of that folder that nobody has written to for ten minutes; the number of them. Whatever fails is left
/// as it was, for the next time. Stops within some megabytes of reading.
std::size_t close_broken_off(const std::filesystem::path& folder, const std::stop_token& stop = {});

}  // namespace hushmill::live
