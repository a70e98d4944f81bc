#include "fuzz/own_folder.hpp"
#include "fuzz/read_journal.hpp"
#include "journal/folders.hpp"

namespace hushmill::fuzz {

void journal_file(Input input) {
  const auto folder = own_folder() / "journal";
  std::filesystem::create_directories(folder);
  const auto file = journal::journal_file(folder);
  for (const char* beside : {"-wal", "-shm", "-journal"}) std::filesystem::remove(file.string() + beside);
  put_file(file, input);
  read_journal(folder);
}

}  // namespace hushmill::fuzz
