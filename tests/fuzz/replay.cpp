#include "fuzz/replay.hpp"

#include <algorithm>
#include <random>
#include <vector>

#include "support/catch.hpp"
#include "support/temporary_folder.hpp"

namespace hushmill::fuzz {
namespace {

using Bytes = std::vector<std::uint8_t>;
using Random = std::mt19937;  // its numbers are the same everywhere

std::size_t one_of(Random& random, std::size_t count) { return random() % count; }

// One small change of the kinds that the fuzzer makes, or a piece of another file.
void change(Bytes& bytes, const Bytes& other, Random& random) {
  constexpr std::uint8_t kEdges[] = {0x00, 0x01, 0x7f, 0x80, 0xff, '\n', '"', '-', '9', '.'};
  const std::size_t at = one_of(random, bytes.size() + 1);
  const std::size_t length = std::min(1 + one_of(random, 16), bytes.size() - at);
  const auto here = bytes.begin() + static_cast<std::ptrdiff_t>(at);
  const auto end = here + static_cast<std::ptrdiff_t>(length);
  switch (random() % 6) {
    case 0:
      if (length > 0) *here = static_cast<std::uint8_t>(*here ^ (1U << random() % 8));
      break;
    case 1: std::fill(here, end, kEdges[one_of(random, std::size(kEdges))]); break;
    case 2: bytes.erase(here, end); break;
    case 3: bytes.insert(here, 1 + one_of(random, 16), kEdges[one_of(random, std::size(kEdges))]); break;
    case 4: bytes.resize(at); break;
    default: {
      const std::size_t from = one_of(random, other.size());
      const std::size_t most = std::min(other.size() - from, std::size_t{64});
      bytes.insert(here, other.begin() + static_cast<std::ptrdiff_t>(from), other.begin() + static_cast<std::ptrdiff_t>(from + most));
      break;
    }
  }
}

}  // namespace

void replay(std::string_view name, void (*target)(Input), int changed) {
  std::vector<std::filesystem::path> files;
  for (const auto& entry : std::filesystem::directory_iterator(std::filesystem::path(HUSHMILL_SOURCE_DIR) / "tests/fuzz/corpus" / name)) files.push_back(entry.path());
  std::sort(files.begin(), files.end());
  REQUIRE(!files.empty());
  target({});
  std::vector<Bytes> corpus;
  for (const auto& file : files) {
    INFO(file.filename().string());
    corpus.push_back(test::file_bytes(file));
    REQUIRE(!corpus.back().empty());
    target(corpus.back());
  }
  Random random(1);
  for (int i = 0; i < changed; ++i) {
    Bytes bytes = corpus[static_cast<std::size_t>(i) % corpus.size()];
    const Bytes& other = corpus[one_of(random, corpus.size())];
    for (std::size_t changes = 1 + one_of(random, 4); changes > 0; --changes) change(bytes, other, random);
    target(bytes);
  }
}

}  // namespace hushmill::fuzz
