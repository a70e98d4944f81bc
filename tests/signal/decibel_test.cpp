#include "signal/decibel.hpp"

#include <cmath>
#include <limits>

#include "support/catch.hpp"

using namespace hushmill;
using test::WithinAbs;

TEST_CASE("decibels are ten times the logarithm of a power ratio") {  // exact algebra
  CHECK_THAT(signal::power_db(1.0), WithinAbs(0.0, 1e-12));
  CHECK_THAT(signal::power_db(2.0), WithinAbs(3.010299957, 1e-9));
  CHECK_THAT(signal::amplitude_db(0.5), WithinAbs(-6.020599913, 1e-9));
  CHECK_THAT(signal::amplitude_db(-0.5), WithinAbs(-6.020599913, 1e-9));
  CHECK_THAT(signal::power_from_db(signal::power_db(0.037)), WithinAbs(0.037, 1e-12));
  CHECK_THAT(static_cast<double>(signal::power_db(0.25F)), WithinAbs(-6.0206, 1e-4));
}

TEST_CASE("silence and what is no number have a finite level") {
  CHECK(signal::power_db(0.0) == signal::kSilenceDb);
  CHECK(signal::power_db(-1.0) == signal::kSilenceDb);
  CHECK(signal::power_db(std::numeric_limits<double>::quiet_NaN()) == signal::kSilenceDb);
  CHECK(static_cast<double>(signal::power_db(0.0F)) == signal::kSilenceDb);
}
