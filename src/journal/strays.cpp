#include "journal/strays.hpp"

#include <algorithm>
#include <set>

#include "journal/folders.hpp"

namespace hushmill::journal {

std::vector<Stray> strays(Journal& journal) {
  std::set<std::filesystem::path> known;
  for (const RecordingRow& row : journal.recordings()) known.insert(std::filesystem::path(row.path).filename());
  std::vector<Stray> found;
  std::error_code error;
  for (const auto& entry : std::filesystem::directory_iterator(journal.folder() / kRecordings, error)) {
    const auto name = entry.path().filename();
    const auto ending = name.extension();
    // Of a recording that is packed right now the row still has the other name.
    const bool sound = ending == ".wav" || ending == ".flac";
    const bool packed = known.count(std::filesystem::path(name).replace_extension(".wav")) > 0 || known.count(std::filesystem::path(name).replace_extension(".flac")) > 0;
    if (!sound || packed) continue;
    std::error_code gone;
    const auto bytes = entry.file_size(gone);
    found.push_back({std::filesystem::path(kRecordings) / name, gone ? 0 : bytes});
  }
  std::sort(found.begin(), found.end(), [](const Stray& a, const Stray& b) { return a.path < b.path; });
  return found;
}

}  // namespace hushmill::journal
