#include "capture/outlet.hpp"

#include <array>
#include <vector>

#include "support/catch.hpp"

using hushmill::capture::Outlet;

TEST_CASE("an outlet is silent until half full, then plays in order on every channel") {
  Outlet outlet(2, 100);
  std::vector<float> ramp(49);
  for (std::size_t i = 0; i < ramp.size(); ++i) ramp[i] = static_cast<float>(i + 1);
  outlet.push(ramp);
  std::array<float, 20> block{};
  block.fill(9);
  outlet.output(block);
  for (const float sample : block) CHECK(sample == 0);
  outlet.push(std::array{50.0f});
  for (int round = 0; round < 5; ++round) {
    outlet.output(block);
    for (std::size_t frame = 0; frame < 10; ++frame) {
      const float expected = static_cast<float>(round * 10) + static_cast<float>(frame + 1);
      CHECK(block[2 * frame] == expected);
      CHECK(block[2 * frame + 1] == expected);
    }
  }
  CHECK(outlet.gaps() == 0);
}

TEST_CASE("run dry, an outlet makes one gap of silence, counts it and waits to be half full") {
  Outlet outlet(1, 40);
  outlet.push(std::vector<float>(25, 1.0f));
  std::array<float, 30> block{};
  block.fill(9);
  outlet.output(block);
  CHECK(block[24] == 1);
  CHECK(block[25] == 0);
  CHECK(block[29] == 0);
  CHECK(outlet.gaps() == 1);
  outlet.push(std::vector<float>(10, 1.0f));
  outlet.output(block);
  CHECK(block[0] == 0);
  CHECK(outlet.gaps() == 1);
  outlet.push(std::vector<float>(10, 1.0f));
  outlet.output(std::span(block).first(20));
  CHECK(block[0] == 1);
  CHECK(block[19] == 1);
}

TEST_CASE("what an outlet cannot hold is dropped and counted") {
  Outlet outlet(1, 10);
  outlet.push(std::vector<float>(25, 1.0f));
  CHECK(outlet.dropped() == 15);
}
