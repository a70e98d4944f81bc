#include "listen/episode_book.hpp"

#include <vector>

#include "support/catch.hpp"
#include "support/made_line.hpp"

using namespace hushmill;

namespace {
constexpr double kBookRowS = 0.01;
constexpr double kBookBinHz = 10;

// Chatter at one frequency after another, each a second long with a second of quiet behind it. Invented.
class SungBook {
 public:
  void sing(double hz) {
    begin(hz);
    last_sung_s_ = t_s_ + 1;
    for (int i = 0; i < 100; ++i) next(hz);
    CHECK(book_.is_open());
    for (int i = 0; i < 100; ++i) next(0);
    CHECK_FALSE(book_.is_open());
  }
  /// A second of chatter; then it is gone, the spindle comes up by as much as it had sagged, and something faint stands on a place of the family.
  double tone_after_recovery(double hz) {
    begin(hz);
    for (int i = 0; i < 100; ++i) next(hz);
    for (int i = 0; i < 20; ++i) next(0);
    comb_.rotation_hz = 100.6;
    const double place_hz = 10 * comb_.tooth_hz() + comb_.folded_hz(hz);
    for (int i = 0; i < 15; ++i) {
      t_s_ += kBookRowS;
      auto now = row(0);
      power_[now.bin(place_hz)] = 1e-8F;
      book_.follow(now);
      book_.sharpen(std::vector<signal::Line>{test::made_line(place_hz, -80, 10)}, 3.3, comb_);
    }
    CHECK(book_.is_open());
    return book_.chatter_hz_now();
  }
  const std::vector<listen::Episode>& episodes() const { return book_.episodes(); }
  listen::EpisodeBook& book() { return book_; }
  double last_sung_s() const { return last_sung_s_; }

 private:
  void begin(double hz) {
    listen::Track track;
    track.strongest_hz = hz;
    track.strongest_power = track.power = 1e-3;
    track.offset_hz = comb_.folded_hz(hz);
    track.start_s = t_s_;
    book_.open(track, row(hz));
  }
  void next(double hz) {
    t_s_ += kBookRowS;
    book_.follow(row(hz));
  }
  listen::Row row(double hz) {
    power_.assign(900, 1e-9F);
    if (hz > 0) power_[static_cast<std::size_t>(hz / kBookBinHz + 0.5)] = 1e-3F;
    listen::Row row;
    row.t_s = t_s_;
    row.row_s = kBookRowS;
    row.frame_s = 0.1;
    row.bin_hz = kBookBinHz;
    row.power = power_;
    row.floor = row.background = background_;
    row.room = room_;
    row.comb = comb_;
    return row;
  }

  listen::Comb comb_{100, 4, 1e-4, true, true};
  listen::EpisodeBook book_{listen::EpisodeSettings{}};
  std::vector<float> power_;
  std::vector<float> background_ = std::vector<float>(900, 1e-9F);
  std::vector<float> room_ = std::vector<float>(900, 0.0F);
  double t_s_ = 3;
  double last_sung_s_ = 0;
};
}  // namespace

TEST_CASE("chatter within eight percent of an earlier tone is its return, another tone is not") {
  SungBook sung;
  for (const double hz : {1130.0, 1730.0, 1150.0, 1270.0}) sung.sing(hz);
  REQUIRE(sung.episodes().size() == 4);
  CHECK_FALSE(sung.episodes()[0].return_of);
  CHECK_FALSE(sung.episodes()[1].return_of);
  CHECK(sung.episodes()[2].return_of == 0);
  CHECK_FALSE(sung.episodes()[3].return_of);
  sung.book().new_speed();
  sung.sing(1130);
  CHECK_FALSE(sung.episodes()[4].return_of);
}

TEST_CASE("chatter that is gone for 0.4 s has ended, and is dated from when it went") {
  SungBook sung;
  sung.sing(1130);
  CHECK_FALSE(sung.episodes()[0].open);
  CHECK(std::abs(sung.episodes()[0].end_s - (sung.last_sung_s() - 0.04)) < 0.015);
}

TEST_CASE("once chatter is gone its tone stays what it was, though the spindle comes up again and something faint stands on its places") {
  SungBook sung;
  CHECK(std::abs(sung.tone_after_recovery(1130) - 1130) < 6);
}
