// Files that lie, break off or are no sound: always one line that names the file, never a crash, never an empty
// success.
#include <algorithm>
#include <cmath>
#include <cstdint>
#include <random>
#include <string>
#include <vector>

#include "capture/errors.hpp"
#include "capture/recording.hpp"
#include "capture/recording_writer.hpp"
#include "support/catch.hpp"
#include "support/temporary_folder.hpp"

using namespace hushmill;
using capture::BadInput;
using capture::Recording;
using capture::RecordingWriter;
using namespace std::string_literals;
using Bytes = std::vector<std::uint8_t>;

namespace {

/// The text of the refusal, or "taken".
std::string file_refusal(const std::filesystem::path& file) {
  try {
    const Recording recording(file);
  } catch (const BadInput& bad) {
    return bad.what();
  }
  return "taken";
}

bool is_one_helpful_line(const std::string& text, const std::string& file_name) {
  return text.starts_with("file '") && text.find(file_name) != std::string::npos && text.ends_with("would be right") &&
         text.find('\n') == std::string::npos;
}

struct Outcome {
  std::size_t samples = 0;
  std::string trouble;
};

Outcome read_through(const std::filesystem::path& file) {
  Recording recording(file);
  std::vector<float> piece(1000);
  Outcome outcome;
  while (!recording.ended()) outcome.samples += recording.read(piece);
  outcome.trouble = recording.trouble();
  return outcome;
}

/// Two seconds of noise: it does not compress, so half the bytes are half the sound.
Bytes whole_file(const test::TemporaryFolder& folder, const std::string& name) {
  std::mt19937 random(11);
  std::vector<float> noise(96000);
  for (float& sample : noise) sample = static_cast<float>(random()) / 4294967296.0f - 0.5f;
  RecordingWriter writer(folder / name, {.depth = capture::SampleDepth::bits16});
  writer.write(noise);
  writer.close();
  return test::file_bytes(folder / name);
}

void put_little(Bytes& bytes, std::size_t at, std::uint32_t value, std::size_t size) {
  for (std::size_t i = 0; i < size; ++i) bytes.at(at + i) = static_cast<std::uint8_t>(value >> (8 * i));
}

// Where things stand in the plain 44-byte WAV header (RIFF, Multimedia Programming Interface and Data Specifications
// 1.0, IBM and Microsoft 1991).
constexpr std::size_t kChannelsAt = 22;
constexpr std::size_t kRateAt = 24;
constexpr std::size_t kDataSizeAt = 40;

}  // namespace

TEST_CASE("what is not a sound file is refused with one line that says what would be right") {
  const test::TemporaryFolder folder;
  test::write_bytes(folder / "empty.wav", {});
  test::write_bytes(folder / "text.wav", {'h', 'e', 'l', 'l', 'o', '\n'});
  test::write_bytes(folder / "head.wav", {'R', 'I', 'F', 'F', 4, 0, 0, 0, 'W', 'A', 'V', 'E'});
  std::filesystem::create_directory(folder / "folder.wav");
  for (const char* name : {"missing.wav", "empty.wav", "text.wav", "head.wav", "folder.wav"}) {
    CAPTURE(name, file_refusal(folder / name));
    CHECK(is_one_helpful_line(file_refusal(folder / name), name));
  }
  CHECK(file_refusal(folder / "missing.wav").find("no such file") != std::string::npos);
  CHECK(file_refusal(folder / "empty.wav").find("is empty") != std::string::npos);
  CHECK(file_refusal(folder / "folder.wav").find("is a folder") != std::string::npos);
  CHECK(file_refusal(folder / "line\nbreak.wav").find('\n') == std::string::npos);
  if (std::filesystem::exists("/dev/zero")) CHECK(file_refusal("/dev/zero").find("not a plain file") != std::string::npos);
}

TEST_CASE("a header without sound behind it is no recording") {
  const test::TemporaryFolder folder;
  for (const char* name : {"none.wav", "none.flac"}) {
    CAPTURE(name);
    RecordingWriter(folder / name, {}).close();
    CHECK(is_one_helpful_line(file_refusal(folder / name), name));
  }
  for (const char* name : {"cut.wav", "cut.flac"}) {
    Bytes bytes = whole_file(folder, name);
    for (const std::ptrdiff_t keep : {4, 20, 36, 43, 44, 60}) {
      CAPTURE(name, keep);
      test::write_bytes(folder / name, Bytes(bytes.begin(), bytes.begin() + keep));
      const std::string text = file_refusal(folder / name);
      // 60 bytes of WAV are a header and eight samples: that is sound, however little.
      CHECK((is_one_helpful_line(text, name) || (keep == 60 && text == "taken" && std::string(name) == "cut.wav")));
    }
  }
}

TEST_CASE("a list entry that claims more than any file holds is refused, not walked round for ever") {
  // Without the check the open does not come back: an entry of nearly 4 GiB is stepped over backwards.
  const test::TemporaryFolder folder;
  Bytes good = whole_file(folder, "a.wav");
  const auto with_list = [&](const std::string& list, std::uint32_t entry_bytes, bool before) {
    Bytes chunk = {'L', 'I', 'S', 'T', 22, 0, 0, 0};
    chunk.insert(chunk.end(), list.begin(), list.end());
    chunk.insert(chunk.end(), {'I', 'c', 'm', 't', 0, 0, 0, 0, 'o', 'f', ' ', 't', 'h', 'e', ' ', 'j', 'o', 'b'});
    put_little(chunk, 16, entry_bytes, 4);
    Bytes bytes = good;
    constexpr std::ptrdiff_t kSoundAt = 36;
    bytes.insert(before ? bytes.begin() + kSoundAt : bytes.end(), chunk.begin(), chunk.end());
    put_little(bytes, 4, static_cast<std::uint32_t>(bytes.size() - 8), 4);
    test::write_bytes(folder / "a.wav", bytes);
    return file_refusal(folder / "a.wav");
  };
  for (const std::string& list : {"INFO"s, "adtl"s, "s\0\0\0"s}) {
    for (const bool before : {true, false}) {
      for (const std::uint32_t claim : {0xfffffff3u, 0xfffffff8u}) {
        CAPTURE(list, before, claim);
        const std::string text = with_list(list, claim, before);
        CHECK(is_one_helpful_line(text, "a.wav"));
        CHECK(text.find(before ? "at byte 52" : "at byte 192060") != std::string::npos);
      }
      CHECK(with_list(list, 10, before) == "taken");
      CHECK(with_list(list, 0x80000000u, before) == "taken");  // a lie, and the library finds out
    }
  }
}

TEST_CASE("a header with absurd channels or rate is refused") {
  const test::TemporaryFolder folder;
  const Bytes good = whole_file(folder, "a.wav");
  const auto with = [&](std::size_t at, std::uint32_t value, std::size_t size) {
    Bytes bytes = good;
    put_little(bytes, at, value, size);
    test::write_bytes(folder / "a.wav", bytes);
    return file_refusal(folder / "a.wav");
  };
  for (const std::uint32_t channels : {0U, 3U, 6U, 255U, 65535U}) {
    CAPTURE(channels);
    CHECK(is_one_helpful_line(with(kChannelsAt, channels, 2), "a.wav"));
  }
  for (const std::uint32_t rate : {0U, 1U, 8000U, 15999U, 192001U, 0x7fffffffU, 0xffffffffU}) {
    CAPTURE(rate, with(kRateAt, rate, 4));
    CHECK(is_one_helpful_line(with(kRateAt, rate, 4), "a.wav"));
  }
  CHECK(with(kRateAt, 8000, 4).find("8000 Hz; 16000 to 192000 Hz") != std::string::npos);
  CHECK(with(kRateAt, 48000, 4) == "taken");
}

TEST_CASE("a file that breaks off is read as far as it goes, and says so") {
  const test::TemporaryFolder folder;
  for (const char* name : {"half.wav", "half.flac"}) {
    CAPTURE(name);
    const Bytes bytes = whole_file(folder, name);
    CHECK(read_through(folder / name).trouble.empty());
    test::write_bytes(folder / name,
                      Bytes(bytes.begin(), bytes.begin() + static_cast<std::ptrdiff_t>(bytes.size() / 2)));
    const Outcome outcome = read_through(folder / name);
    CHECK(outcome.samples > 40000);
    CHECK(outcome.samples < 49000);
    CHECK(is_one_helpful_line(outcome.trouble, name));
    CHECK(outcome.trouble.find("breaks off after") != std::string::npos);
  }
}

TEST_CASE("a length in the header that was never filled in is neither believed nor complained of") {
  const test::TemporaryFolder folder;
  for (const std::uint32_t length : {0xffffffffU, 0x7ffff000U}) {
    CAPTURE(length);
    Bytes bytes = whole_file(folder, "pipe.wav");
    put_little(bytes, 4, length, 4);
    put_little(bytes, kDataSizeAt, length, 4);
    test::write_bytes(folder / "pipe.wav", bytes);
    const Outcome outcome = read_through(folder / "pipe.wav");
    CHECK(outcome.samples == 96000);
    CHECK(outcome.trouble.empty());
  }
}

TEST_CASE("a header that counts no samples is not believed to be a silent recording") {
  const test::TemporaryFolder folder;
  Bytes bytes = whole_file(folder, "zero.wav");
  put_little(bytes, kDataSizeAt, 0, 4);
  test::write_bytes(folder / "zero.wav", bytes);
  CHECK(is_one_helpful_line(file_refusal(folder / "zero.wav"), "zero.wav"));
}

TEST_CASE("a length in the header beyond the file is named") {
  const test::TemporaryFolder folder;
  Bytes bytes = whole_file(folder, "lie.wav");
  put_little(bytes, kDataSizeAt, 999999, 4);
  test::write_bytes(folder / "lie.wav", bytes);
  const Outcome outcome = read_through(folder / "lie.wav");
  CHECK(outcome.samples == 96000);
  CHECK(is_one_helpful_line(outcome.trouble, "lie.wav"));
}

TEST_CASE("sound behind the length that the header states is named, and what is stated is still read") {
  const test::TemporaryFolder folder;
  Bytes bytes = whole_file(folder, "whole.wav");
  put_little(bytes, kDataSizeAt, 48000, 4);  // half a second of two
  const auto file = folder / "short.wav";
  test::write_bytes(file, bytes);
  const auto outcome = read_through(file);
  CHECK(outcome.samples == 24000);
  CHECK(is_one_helpful_line(outcome.trouble, "short.wav"));
  CHECK(outcome.trouble.find("states 0.50 s, but 144000 bytes more") != std::string::npos);
  CHECK(read_through(folder / "whole.wav").trouble.empty());
}

TEST_CASE("damage in the middle of a FLAC file ends it with a word") {
  const test::TemporaryFolder folder;
  Bytes bytes = whole_file(folder, "bad.flac");
  for (std::size_t i = 0; i < 900; ++i) bytes[bytes.size() / 2 + i] = static_cast<std::uint8_t>(i * 37);
  test::write_bytes(folder / "bad.flac", bytes);
  const Outcome outcome = read_through(folder / "bad.flac");
  CHECK(outcome.samples > 10000);
  CHECK(outcome.samples < 96000);
  CHECK(outcome.trouble.find("damaged") != std::string::npos);
}

TEST_CASE("random bytes, bare or behind a true header, never crash and never pass for an empty recording") {
  const test::TemporaryFolder folder;
  std::mt19937 random(2024);
  const Bytes wav = whole_file(folder, "a.wav");
  const Bytes flac = whole_file(folder, "a.flac");
  for (int round = 0; round < 300; ++round) {
    const bool as_wav = round % 2 == 0;
    const std::string name = as_wav ? "r.wav" : "r.flac";
    Bytes bytes(as_wav ? wav.begin() : flac.begin(), (as_wav ? wav.begin() : flac.begin()) + 4000);
    if (round % 5 == 0) {
      for (auto& byte : bytes) byte = static_cast<std::uint8_t>(random());
    } else {
      for (int hits = 0; hits < 1 + round % 12; ++hits) bytes[random() % 120] = static_cast<std::uint8_t>(random());
    }
    test::write_bytes(folder / name, bytes);
    CAPTURE(round);
    const std::string text = file_refusal(folder / name);
    if (text != "taken") {
      CHECK(is_one_helpful_line(text, name));
    } else {
      CHECK(read_through(folder / name).samples > 0);
    }
  }
}
