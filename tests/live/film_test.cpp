// The film of a session: bounded however long it goes on, and no change of the verdict is ever lost from it.
#include "live/film.hpp"

#include <algorithm>
#include <cmath>

#include "support/catch.hpp"

using namespace hushmill;

namespace {

live::State moment(double t_s, listen::Verdict verdict) {
  live::State state;
  state.snapshot.t_s = t_s;
  state.snapshot.verdict = verdict;
  state.snapshot.spectrum_dbfs.assign(900, static_cast<float>(-80 + 10 * std::sin(t_s)));
  state.snapshot.room_dbfs.assign(900, -90.0F);
  state.snapshot.peaks.resize(20);
  state.card.programmed_rpm = 6000 + std::floor(t_s / 60);
  return state;
}

// A chatter of a twentieth of a second every 17 s.
listen::Verdict verdict_at(int frame) { return frame % 340 == 339 ? listen::Verdict::chatter : listen::Verdict::steady; }

}  // namespace

TEST_CASE("a long film stays within its memory, thins out evenly and keeps every change of the verdict") {
  constexpr std::size_t kMost = 4 << 20;
  live::Film film(20, kMost);
  constexpr int kFrames = 20 * 1800;
  std::size_t most = 0;
  for (int frame = 0; frame < kFrames; ++frame) {
    film.add(moment(frame / 20.0, verdict_at(frame)));
    most = std::max(most, film.bytes());
  }
  CHECK(most < kMost + (kMost >> 6));  // thinned when it is over
  CHECK(film.every_s() > 0.05);
  CHECK(film.to_s() > 1799);
  live::State state;
  int chatters = 0;
  for (int frame = 339; frame < kFrames; frame += 340) {
    film.show(film.index_at(frame / 20.0), state);
    chatters += state.snapshot.verdict == listen::Verdict::chatter && state.snapshot.t_s == frame / 20.0 ? 1 : 0;
  }
  CHECK(chatters == (kFrames - 340) / 340 + 1);
  for (double t_s = 1; t_s < 1799; t_s += 13.7) {
    film.show(film.index_at(t_s), state);
    CHECK(state.snapshot.t_s <= t_s);
    CHECK(state.snapshot.t_s > t_s - 1.01 * film.every_s());
    CHECK(state.card.programmed_rpm == 6000 + std::floor(state.snapshot.t_s / 60));
    REQUIRE(state.snapshot.spectrum_dbfs.size() == 900);
    CHECK(std::abs(state.snapshot.spectrum_dbfs.front() - static_cast<float>(-80 + 10 * std::sin(state.snapshot.t_s))) <= 0.26F);
  }
}

TEST_CASE("a state from before the last one begins a new film") {
  live::Film film;
  film.add(moment(5, listen::Verdict::steady));
  film.add(moment(6, listen::Verdict::steady));
  CHECK(film.size() == 2);
  film.add(moment(6.01, listen::Verdict::steady));  // nearer than a frame
  CHECK(film.size() == 2);
  film.add(moment(6.02, listen::Verdict::chatter));  // but another verdict is kept at once
  CHECK(film.size() == 3);
  film.add(moment(1, listen::Verdict::no_cut));
  CHECK(film.size() == 1);
  CHECK(film.from_s() == 1);
  CHECK(film.index_at(0) == 0);
}
