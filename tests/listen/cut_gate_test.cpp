#include "listen/cut_gate.hpp"

#include <algorithm>
#include <vector>

#include "support/catch.hpp"

using namespace hushmill;

namespace {
constexpr double kGateRowS = 0.01;
constexpr double kGateFrameS = 0.1;
constexpr float kGateFloor = 1e-9F;

// A gate that is shown rows of tooth lines 40 dB over the floor, or of the floor alone, for so many seconds.
class ShownGate {
 public:
  void teeth(double seconds, bool singing = false) { show(seconds, 1e-5F, 1e-4, singing); }
  void silence(double seconds, bool singing = false) { show(seconds, kGateFloor, 1e-8, singing); }
  /// The teeth are gone and the sound as a whole is as loud as before.
  void drowned(double seconds) { show(seconds, kGateFloor, 1e-4, false); }

  double now_s() const { return row_.t_s; }
  const listen::CutGate& gate() const { return gate_; }

 private:
  void show(double seconds, float tooth_power, double above_room, bool singing) {
    const std::vector<float> floor(900, kGateFloor);
    const std::vector<float> room(900, 0.0F);
    std::vector<float> power = floor;
    for (std::size_t k = 40; k < power.size(); k += 40) power[k] = tooth_power;
    row_.row_s = kGateRowS;
    row_.frame_s = kGateFrameS;
    row_.bin_hz = 10;
    row_.power = power;
    row_.floor = floor;
    row_.background = floor;
    row_.room = room;
    row_.room_known = true;
    row_.above_room = above_room;
    row_.comb = {100, 4, 1e-4, true};
    for (const double until_s = row_.t_s + seconds; row_.t_s < until_s - 0.5 * kGateRowS;) {
      row_.t_s += kGateRowS;
      gate_.process(row_, singing);
    }
  }

  listen::CutGate gate_;
  listen::Row row_;
};
}  // namespace

TEST_CASE("a cut begins with the fifth row of eight that shows teeth, and is dated from before the frame") {
  ShownGate shown;
  shown.silence(1);
  shown.teeth(0.04);
  CHECK_FALSE(shown.gate().in_cut());
  shown.teeth(0.01);
  CHECK(shown.gate().in_cut());
  CHECK_THAT(shown.gate().start_s(), test::WithinAbs(shown.now_s() - 8 * kGateRowS - 0.4 * kGateFrameS, 1e-9));
}

TEST_CASE("a cut ends when teeth and sound have been gone for a quarter second, and is dated from when they went") {
  ShownGate shown;
  shown.teeth(2);
  const double last_teeth_s = shown.now_s();
  shown.silence(0.23);
  CHECK(shown.gate().in_cut());
  shown.silence(0.04);
  CHECK_FALSE(shown.gate().in_cut());
  CHECK_THAT(shown.gate().end_s(), test::WithinAbs(last_teeth_s - 0.5 * kGateFrameS, 0.03));
}

TEST_CASE("an interruption shorter than that ends no cut, however often it comes") {
  ShownGate shown;
  shown.teeth(1);
  for (int i = 0; i < 20; ++i) {
    shown.silence(0.2);
    CHECK(shown.gate().in_cut());
    shown.teeth(0.3);
  }
  CHECK(shown.gate().in_cut());
}

TEST_CASE("while chatter is open, and while the sound as a whole stays, weak teeth do not end a cut") {
  ShownGate singing;
  singing.teeth(1);
  singing.silence(1, true);
  CHECK(singing.gate().in_cut());
  ShownGate drowned;
  drowned.teeth(1);
  drowned.drowned(1);
  CHECK(drowned.gate().in_cut());
  drowned.silence(0.4);
  CHECK_FALSE(drowned.gate().in_cut());
}
