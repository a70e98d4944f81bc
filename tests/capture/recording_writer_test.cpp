#include "capture/recording_writer.hpp"

#include <cmath>
#include <limits>
#include <vector>

#include "capture/errors.hpp"
#include "capture/recording.hpp"
#include "support/catch.hpp"
#include "support/temporary_folder.hpp"

using namespace hushmill;
using capture::BadInput;
using capture::OutsideFailed;
using capture::Recording;
using capture::RecordingWriter;
using capture::SampleDepth;

TEST_CASE("samples beyond full scale are clipped, broken ones silenced, and both counted") {
  const test::TemporaryFolder folder;
  const std::vector<float> samples = {
      0.5f, 1.5f, -7.0f, std::numeric_limits<float>::quiet_NaN(), -std::numeric_limits<float>::infinity(), -0.5f};
  RecordingWriter writer(folder / "a.wav", {.depth = SampleDepth::bits16});
  writer.write(samples);
  CHECK(writer.frames_written() == 6);
  CHECK(writer.clipped_samples() == 2);
  CHECK(writer.bad_samples() == 2);
  writer.close();
  std::vector<float> back(10);
  Recording recording(folder / "a.wav");
  REQUIRE(recording.read(back) == 6);
  const std::vector<double> right = {0.5, 1, -1, 0, 0, -0.5};
  for (std::size_t i = 0; i < 6; ++i) CHECK_THAT(static_cast<double>(back[i]), test::WithinAbs(right[i], 1e-4));
}

TEST_CASE("the writer names what is wrong with a name, a rate or a depth") {
  const test::TemporaryFolder folder;
  CHECK_THROWS_WITH(RecordingWriter("a.mp3", {}),
                    "file 'a.mp3': its name does not end in a kind that is written; .wav or .flac would be right");
  CHECK_THROWS_AS(RecordingWriter(folder / "a.mp3", {}), BadInput);
  CHECK_THROWS_AS(RecordingWriter(folder / "a.flac", {.depth = SampleDepth::bits32}), BadInput);
  CHECK_THROWS_AS(RecordingWriter(folder / "a.wav", {.channels = 3}), BadInput);
  for (const double rate_hz : {8000.0, 15999.0, 192001.0, 44100.5, std::nan(""), -48000.0}) {
    CAPTURE(rate_hz);
    CHECK_THROWS_AS(RecordingWriter(folder / "a.wav", {.sample_rate_hz = rate_hz}), BadInput);
  }
  CHECK_FALSE(std::filesystem::exists(folder / "a.wav"));
}

TEST_CASE("a folder that is not there and a full disk are the outside's failure") {
  const test::TemporaryFolder folder;
  CHECK_THROWS_AS(RecordingWriter(folder / "nowhere/a.wav", {}), OutsideFailed);
  if (!std::filesystem::exists("/dev/full")) return;  // only Linux has this device that is always full
  std::filesystem::create_symlink("/dev/full", folder / "full.wav");
  const auto write_much = [&] {
    RecordingWriter writer(folder / "full.wav", {});
    writer.write(std::vector<float>(100000, 0.25f));
    writer.close();
  };
  CHECK_THROWS_AS(write_much(), OutsideFailed);
}

TEST_CASE("nothing may be written after close") {
  const test::TemporaryFolder folder;
  RecordingWriter writer(folder / "a.flac", {});
  writer.write(std::vector<float>(10, 0.25f));
  writer.close();
  writer.close();
  CHECK_THROWS_AS(writer.write(std::vector<float>(10, 0.25f)), OutsideFailed);
}
