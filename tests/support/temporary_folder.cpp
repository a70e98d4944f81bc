#include "support/temporary_folder.hpp"

#include <fstream>
#include <iterator>
#include <random>

namespace hushmill::test {

TemporaryFolder::TemporaryFolder() {
  std::random_device random;  // only the name: tests run beside each other
  path_ =
      std::filesystem::temp_directory_path() / ("hushmill-test-" + std::to_string(random()) + std::to_string(random()));
  std::filesystem::create_directory(path_);
}

TemporaryFolder::~TemporaryFolder() {
  std::error_code ignored;
  std::filesystem::remove_all(path_, ignored);
}

std::vector<std::uint8_t> file_bytes(const std::filesystem::path& file) {
  std::ifstream in(file, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()};
}

void write_bytes(const std::filesystem::path& file, const std::vector<std::uint8_t>& bytes) {
  std::ofstream out(file, std::ios::binary);
  for (const std::uint8_t byte : bytes) out.put(static_cast<char>(byte));
}

}  // namespace hushmill::test
