#include "capture/intake.hpp"

#include <array>
#include <thread>
#include <vector>

#include "support/catch.hpp"

using hushmill::capture::Channel;
using hushmill::capture::Intake;

TEST_CASE("what the audio thread brings comes out as the chosen channel, in order") {
  for (const Channel channel : {Channel::left, Channel::right, Channel::mix}) {
    Intake intake(2, 4096);
    std::vector<float> heard;
    float next = 0;
    for (int block = 0; block < 40; ++block) {
      std::vector<float> stereo;
      for (int frame = 0; frame < 441; ++frame, ++next) stereo.insert(stereo.end(), {next, -next});
      intake.input(stereo, false);
      std::vector<float> mono(2000);
      const std::size_t got = intake.pop(mono, channel);
      heard.insert(heard.end(), mono.begin(), mono.begin() + static_cast<std::ptrdiff_t>(got));
    }
    REQUIRE(heard.size() == 40 * 441);
    const float sign = channel == Channel::left ? 1.0f : channel == Channel::right ? -1.0f : 0.0f;
    for (std::size_t i = 0; i < heard.size(); ++i) REQUIRE(heard[i] == sign * static_cast<float>(i));
    CHECK(intake.lost_frames() == 0);
    CHECK(intake.blocks() == 40);
  }
}

TEST_CASE("a late listener loses whole frames only: left stays left") {
  Intake intake(2, 101);
  std::vector<float> stereo;
  for (int frame = 0; frame < 150; ++frame) stereo.insert(stereo.end(), {1.0f, -1.0f});
  intake.input(stereo, false);
  CHECK(intake.lost_frames() == 49);
  intake.input(stereo, false);
  CHECK(intake.lost_frames() == 199);
  std::array<float, 300> mono{};
  CHECK(intake.pop(mono, Channel::left) == 101);
  intake.input(stereo, false);
  CHECK(intake.pop(std::span(mono).first(50), Channel::left) == 50);
  intake.input(stereo, false);
  CHECK(intake.pop(mono, Channel::left) == 101);
  for (std::size_t i = 0; i < 101; ++i) REQUIRE(mono[i] == 1.0f);
}

TEST_CASE("what the device itself lost is counted, at least one block each time") {
  Intake intake(1, 4096);
  const std::array<float, 256> block{};
  intake.input(block, false);
  CHECK(intake.device_losses() == 0);
  CHECK(intake.lost_frames() == 0);
  intake.input(block, true);
  intake.input(block, true);
  CHECK(intake.device_losses() == 2);
  CHECK(intake.lost_frames() == 512);
}

TEST_CASE("two threads: every frame is heard or counted as lost") {
  Intake intake(2, 512);
  constexpr int kBlocks = 20000;
  std::thread audio([&intake] {
    std::array<float, 128> block{};
    for (int i = 0; i < kBlocks; ++i) intake.input(block, false);
  });
  std::uint64_t heard = 0;
  std::array<float, 300> mono{};
  while (heard + intake.lost_frames() < kBlocks * 64U) {
    heard += intake.pop(mono, Channel::mix);
    std::this_thread::yield();
  }
  audio.join();
  CHECK(heard + intake.lost_frames() == kBlocks * 64U);
}
