#include "listen/forced_watch.hpp"

#include <vector>

#include "support/catch.hpp"

using namespace hushmill;

namespace {
// A row with tooth lines that fall by 3 dB an order, one of them raised.
struct Rows {
  std::vector<float> power = std::vector<float>(900, 1e-9F);
  std::vector<float> floor = std::vector<float>(900, 1e-9F);
  std::vector<float> room = std::vector<float>(900, 0.0F);

  listen::Row row(int raised_order, double raised_db) {
    for (int k = 1; k * 400 < 8000; ++k) {
      const double db = -30 - 3 * k + (k == raised_order ? raised_db : 0);
      power[static_cast<std::size_t>(k) * 400 / 13] = 0;
      power[static_cast<std::size_t>(k * 400 / 13.333 + 0.5)] = static_cast<float>(std::pow(10.0, db / 10));
    }
    listen::Row r;
    r.row_s = 0.0107;
    r.frame_s = 0.075;
    r.bin_hz = 13.333;
    r.power = power;
    r.floor = floor;
    r.background = floor;
    r.room = room;
    r.comb = {100, 4, 1e-4, true};
    return r;
  }
};

bool forced_after(double raised_db, double seconds) {
  Rows rows;
  listen::ForcedWatch watch;
  for (double t = 0; t < seconds; t += 0.0107) watch.process(rows.row(5, raised_db));
  return watch.forced();
}
}  // namespace

TEST_CASE("a harmonic 18 dB above its neighbours' trend for ten revolutions is forced vibration") {
  CHECK(forced_after(22, 0.15));
  CHECK_FALSE(forced_after(22, 0.08));  // eight revolutions at 6000 rev/min
  CHECK_FALSE(forced_after(15, 0.5));
}

TEST_CASE("the harmonic is named") {
  Rows rows;
  listen::ForcedWatch watch;
  for (int i = 0; i < 20; ++i) watch.process(rows.row(5, 24));
  CHECK(watch.order() == 5);
  CHECK(watch.above_trend_db() > 17);
}
