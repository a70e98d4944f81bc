// Published digests: FIPS 180-2 (NIST, 2002), appendix B: "abc", the 448-bit message and a million times 'a'.
#include "journal/sha256.hpp"

#include <string>
#include <vector>

#include "support/catch.hpp"
#include "support/temporary_folder.hpp"

using namespace hushmill;

namespace {

std::string digest(const std::string& text, std::size_t piece) {
  journal::Sha256 sum;
  const std::vector<std::uint8_t> bytes(text.begin(), text.end());
  for (std::size_t at = 0; at < bytes.size(); at += piece) {
    sum.add(std::span<const std::uint8_t>(bytes).subspan(at, std::min(piece, bytes.size() - at)));
  }
  return sum.finish();
}

}  // namespace

TEST_CASE("the published digests come out, however the bytes are cut into pieces") {
  for (const std::size_t piece : {1UL, 7UL, 64UL, 65UL, 1000000UL}) {
    CAPTURE(piece);
    CHECK(digest("abc", piece) == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    CHECK(digest("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq", piece) ==
          "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
    CHECK(digest(std::string(1000000, 'a'), piece) == "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0");
  }
}

TEST_CASE("a file has the digest of its bytes, and one that is not there has none") {
  const test::TemporaryFolder folder;
  std::vector<std::uint8_t> bytes(9 * 1024 * 1024 + 5);
  for (std::size_t i = 0; i < bytes.size(); ++i) bytes[i] = static_cast<std::uint8_t>(i * i + i / 7);
  test::write_bytes(folder / "sound", bytes);
  journal::Sha256 sum;
  sum.add(bytes);
  CHECK(journal::sha256_of(folder / "sound") == sum.finish());
  CHECK_FALSE(journal::sha256_of(folder / "nothing"));
}
