// What a frame may not do. How long it takes is the benchmark's business.
#include "frame_cost.hpp"
#include "dashboard/words.hpp"
#include "support/catch.hpp"
#include "support/counted_here.hpp"

using namespace hushmill;
using dashboard::Few;
using dashboard::Look;
using dashboard::Words;

TEST_CASE("no frame allocates, though time, spectrum, levels, speed and trial move") {
  const auto look = GENERATE(Look::bench, Look::teach, Look::room);
  const auto cost = test::frame_cost(1280, 720, 1, look, 120, &test::allocations_here);
  CHECK(cost.allocations == 0);
  CHECK(cost.still_allocations == 0);
}

TEST_CASE("what counts the allocations sees one") {
  const long long before = test::allocations_here();
  const Words longer(std::string(Words::kInside + 1, 'a'));  // one for the string, one for what is beyond
  CHECK(test::allocations_here() == before + 2);
  CHECK(longer.size() == Words::kInside + 1);
}

TEST_CASE("words longer than their place are kept whole, and shorter again after") {
  std::string same;
  Words words;
  for (int i = 0; i < 300; ++i) {
    const std::string more(static_cast<std::size_t>(i % 5), static_cast<char>('a' + i % 26));
    same += more;
    words += more;
    REQUIRE(words == same);
  }
  const Words copy = words + "!" + std::string("?");
  CHECK(copy == same + "!?");
  for (std::size_t size = same.size(); size > 0; size -= 7 < size ? 7 : size) {
    words.cut_to(size);
    REQUIRE(words == same.substr(0, size));
  }
  words.append(" on");
  CHECK(words.view().substr(words.size() - 3) == " on");
}

TEST_CASE("a short list drops what finds no room") {
  Few<int, 3> few{1, 2, 3};
  few.push_back(4);
  CHECK(few.size() == 3);
  CHECK(few.back() == 3);
  CHECK(few == Few<int, 3>{1, 2, 3});
}
