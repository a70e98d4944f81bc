// What a WAV's header does not own up to. The library reads as much as the header says and keeps silent about the rest,
// and there is one lie that it never comes back from.
#pragma once

#include <cstdint>
#include <filesystem>
#include <optional>

namespace hushmill::capture {

/// Bytes behind the sound that are no chunk of the format either, so most likely more sound. 0 for another kind of file,
/// and for one that cannot be read. (Chunks: Multimedia Programming Interface and Data Specifications 1.0, IBM and
/// Microsoft, 1991.)
std::uint64_t bytes_behind_the_sound(const std::filesystem::path& file);

/// Where a list of remarks holds a length of nearly 4 GiB, in bytes from the start of the file; none in an honest file. The
/// library adds such a length to its place in 32 bits, and so goes backwards, round and round.
std::optional<std::uint64_t> endless_entry(const std::filesystem::path& file);

}  // namespace hushmill::capture
