#include "capture/intake.hpp"

#include <algorithm>
#include <array>
#include <thread>
#include <utility>
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
  CHECK(intake.pop(mono, Channel::left) == 0);  // a gap lies here
  CHECK(intake.take_gap().has_value());
  CHECK(intake.pop(std::span(mono).first(50), Channel::left) == 50);
  intake.input(stereo, false);
  CHECK(intake.pop(mono, Channel::left) == 51);
  CHECK(intake.take_gap().has_value());
  CHECK(intake.pop(std::span(mono).subspan(51), Channel::left) == 50);
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

TEST_CASE("a gap is marked just where it lies, however the sound is read") {
  for (const std::size_t piece : {1U, 7U, 40U, 64U, 1000U}) {
    CAPTURE(piece);
    Intake intake(1, 100);
    std::vector<float> block(40);
    const auto bring = [&](float value, bool device_lost) {
      std::fill(block.begin(), block.end(), value);
      intake.input(block, device_lost);
    };
    std::vector<float> mono(piece);
    std::vector<float> heard;
    std::vector<std::pair<std::uint64_t, std::uint64_t>> gaps;
    const auto drain = [&] {
      while (true) {
        const std::size_t got = intake.pop(mono, Channel::left);
        heard.insert(heard.end(), mono.begin(), mono.begin() + static_cast<std::ptrdiff_t>(got));
        const auto gap = intake.take_gap();
        if (gap) {
          gaps.emplace_back(gap->before_sample, gap->samples);
          CHECK(gap->before_sample == heard.size());
        }
        if (got == 0 && !gap) break;
      }
    };
    bring(1, false);
    bring(2, false);
    bring(3, false);  // half of it fits
    bring(4, false);  // none
    drain();
    bring(5, false);
    bring(6, true);  // the device lost a block before it
    drain();
    CHECK(heard.size() == 180);
    CHECK(gaps == std::vector<std::pair<std::uint64_t, std::uint64_t>>{{100, 60}, {140, 40}});
    CHECK(heard[99] == 3);
    CHECK(heard[100] == 5);
    CHECK(heard[139] == 5);
    CHECK(heard[140] == 6);
    CHECK(intake.lost_frames() == 100);
  }
}

TEST_CASE("gaps that nobody asks for are added up and stop nothing") {
  Intake intake(1, 64);
  const std::vector<float> block(100);
  std::vector<float> mono(1000);
  std::size_t heard = 0;
  for (int i = 0; i < 200; ++i) {
    intake.input(block, false);
    heard += intake.pop(mono, Channel::left);
    heard += intake.pop(mono, Channel::left);
  }
  CHECK(heard + intake.lost_frames() == 20000);
  const auto gap = intake.take_gap();
  REQUIRE(gap);
  CHECK(gap->samples == intake.lost_frames() - 36);  // all but the last, behind which nothing came yet
}

TEST_CASE("two threads: every frame is heard or counted as lost, and every gap is where the count jumps") {
  // The sound counts its own frames, so the reader sees for itself what is missing where.
  Intake intake(1, 256);
  constexpr std::uint32_t kBlocks = 40000;
  std::thread audio([&intake] {
    std::array<float, 64> block{};
    for (std::uint32_t i = 0; i < kBlocks; ++i) {
      for (std::uint32_t k = 0; k < block.size(); ++k) block[k] = static_cast<float>(i * 64 + k);  // below 2^24: exact
      intake.input(block, false);
      if (i % 16 == 0) std::this_thread::yield();
    }
  });
  std::uint64_t heard = 0;
  std::uint64_t gap_sum = 0;
  bool gaps_right = true;
  std::array<float, 100> mono{};
  while (heard + intake.lost_frames() < kBlocks * 64U) {
    const std::size_t got = intake.pop(mono, Channel::left);
    for (std::size_t i = 0; i < got; ++i) {
      gaps_right = gaps_right && mono[i] == static_cast<float>(heard + i + gap_sum);
    }
    heard += got;
    if (const auto gap = intake.take_gap()) {
      gaps_right = gaps_right && gap->before_sample == heard;
      gap_sum += gap->samples;
    }
  }
  audio.join();
  CHECK(gaps_right);
  CHECK(gap_sum <= intake.lost_frames());
  CHECK(heard > 0);
}

TEST_CASE("two threads and two channels: every frame is heard or counted as lost") {
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
