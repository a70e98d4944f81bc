#include "capture/channel.hpp"

#include <array>

#include "support/catch.hpp"

using hushmill::capture::Channel;
using hushmill::capture::pick_channel;

TEST_CASE("a stereo frame gives its left, its right or the mean of both") {
  const std::array<float, 6> stereo = {1.0f, 0.5f, -1.0f, 0.25f, 0.5f, -0.5f};
  std::array<float, 3> mono{};
  REQUIRE(pick_channel(stereo, 2, Channel::left, mono) == 3);
  CHECK(mono == std::array<float, 3>{1.0f, -1.0f, 0.5f});
  REQUIRE(pick_channel(stereo, 2, Channel::right, mono) == 3);
  CHECK(mono == std::array<float, 3>{0.5f, 0.25f, -0.5f});
  REQUIRE(pick_channel(stereo, 2, Channel::mix, mono) == 3);
  CHECK(mono == std::array<float, 3>{0.75f, -0.375f, 0.0f});
}

TEST_CASE("a mono door answers every choice with its only channel, bit for bit") {
  const std::array<float, 3> in = {0.1f, -0.7f, 1e-9f};
  std::array<float, 3> mono{};
  for (const Channel channel : {Channel::left, Channel::right, Channel::mix}) {
    REQUIRE(pick_channel(in, 1, channel, mono) == 3);
    CHECK(mono == in);
  }
}

TEST_CASE("half a frame at the end and frames beyond the room for them are left alone") {
  const std::array<float, 5> in = {1, 2, 3, 4, 5};
  std::array<float, 3> mono = {9, 9, 9};
  CHECK(pick_channel(in, 2, Channel::left, mono) == 2);
  CHECK(mono == std::array<float, 3>{1, 3, 9});
  std::array<float, 1> one{};
  CHECK(pick_channel(in, 2, Channel::right, one) == 1);
  CHECK(one[0] == 2);
}
