// The rig's own integration beside a general-purpose one.
#include "second_opinion.hpp"

#include "support/catch.hpp"

TEST_CASE("Eight teeth of a cut from rest are those of a general-purpose integrator") {
  const hushmill::test::second_opinion::Difference found = hushmill::test::second_opinion::difference();
  INFO("largest displacement " << found.largest_m << " m, largest difference " << found.worst_m << " m");
  CHECK(found.largest_m > 1e-6);
  CHECK(found.worst_m < 2e-4 * found.largest_m);
}
