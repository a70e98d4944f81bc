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

/// Where an entry of a list of remarks stands that claims 2 GiB or more, in bytes from the start of the file; none in an
/// honest file. The library steps over entries with a signed number: such a one leads it backwards, round and round.
std::optional<std::uint64_t> endless_entry(const std::filesystem::path& file);

}  // namespace hushmill::capture
