#include "listen/room.hpp"

#include "support/catch.hpp"

using hushmill::listen::Room;

namespace {
void hear(Room& room, float level, int rows) {
  const std::vector<float> row(100, level);
  for (int i = 0; i < rows; ++i) room.process(row);
}
}  // namespace

TEST_CASE("the room is known after a second and follows slow changes") {
  Room room(100, 0.01);
  hear(room, 1.0F, 99);
  CHECK_FALSE(room.known());
  hear(room, 1.0F, 2);
  CHECK(room.known());
  CHECK(room.power()[50] == 1.0F);
  hear(room, 1.5F, 1500);
  CHECK(room.power()[50] > 1.45F);
}

TEST_CASE("what has sounded for a second is not part of the room yet") {
  Room room(100, 0.01);
  hear(room, 1.0F, 300);
  hear(room, 1.8F, 100);
  CHECK(room.power()[50] == 1.0F);
  hear(room, 1.8F, 400);
  CHECK(room.power()[50] > 1.4F);
}

TEST_CASE("a sudden rise, which may be a cut, is not learned as room") {
  Room room(100, 0.01);
  hear(room, 1.0F, 200);
  hear(room, 100.0F, 200);
  CHECK(room.power()[50] < 10.0F);
}
