#include "live/close_broken_off.hpp"

#include <chrono>
#include <exception>

#include "journal/journal.hpp"
#include "journal/sha256.hpp"
#include "live/open_ends.hpp"

namespace hushmill::live {
namespace {

constexpr std::chrono::minutes kStillWritten{10};  // a session that is on writes every second

bool untouched(const std::filesystem::path& file) {
  std::error_code error;
  const auto written = std::filesystem::last_write_time(file, error);
  return !error && std::filesystem::file_time_type::clock::now() - written > kStillWritten;
}

bool close_one(journal::Journal& journal, journal::RecordingRow recording, const std::stop_token& stop) {
  const auto file = journal.path_of(recording);
  if (!untouched(file)) return false;
  find_open_end(recording, journal.folder());
  journal::FileSha256 sum(file);
  while (!sum.step())
    if (stop.stop_requested()) return false;
  std::error_code error;
  const auto bytes = std::filesystem::file_size(file, error);
  if (error || !sum.result()) return false;
  recording.bytes = static_cast<std::int64_t>(bytes);
  recording.sha256 = *sum.result();
  journal.update(recording);
  return true;
}

}  // namespace

std::size_t close_broken_off(const std::filesystem::path& folder, const std::stop_token& stop) {
  std::size_t closed = 0;
  try {
    journal::Journal journal(folder, journal::Journal::Open::must_be_there);
    for (const auto& recording : journal.recordings())
      if (recording.sha256.empty() && recording.kind != "listened" && !stop.stop_requested() && close_one(journal, recording, stop)) ++closed;
  } catch (const std::exception&) {
    // The session that is beginning says what is wrong with its journal.
  }
  return closed;
}

}  // namespace hushmill::live
