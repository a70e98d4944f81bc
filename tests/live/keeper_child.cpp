// A program for the kill test: keeps a known sound and made-up events as fast as real sound comes, and says what it has
// handed over and what was shown as kept, until somebody ends it. Not a test itself.
//
//   keeper_child FOLDER    prints "heard N" (samples handed over) and "kept N" (events committed), one a line
#include <chrono>
#include <cstdint>
#include <cstdio>
#include <thread>
#include <vector>

#include "live/keeper.hpp"
#include "live/known_sound.hpp"

using namespace hushmill;
using Clock = std::chrono::steady_clock;

int main(int argc, char** argv) {
  if (argc != 2) return 2;
  std::setvbuf(stdout, nullptr, _IOLBF, BUFSIZ);
  live::KeepingSettings settings;
  settings.folder = argv[1];
  settings.record = true;
  settings.least_free_gib = 0;
  settings.source_kind = "scripted";
  settings.source = "known sound";
  live::Keeper keeper(settings);
  live::KeepingState state;
  std::vector<float> piece(480);
  std::int64_t heard = 0;
  int events = 0;
  std::uint64_t shown = 0;
  const auto start = Clock::now();
  while (true) {
    for (float& sample : piece) sample = test::known_sample(heard++);
    keeper.hear(piece);
    std::printf("heard %lld\n", static_cast<long long>(heard));
    if (heard % 4800 == 0) {
      listen::Event event;
      event.kind = listen::EventKind::forced_vibration;
      event.index = ++events;
      event.sample = heard;
      event.t_s = static_cast<double>(heard) / settings.sample_rate_hz;
      keeper.note(live::kept_event(event, {}, 6000, std::nullopt));
    }
    if (keeper.take(state) && state.kept_events != shown) {
      shown = state.kept_events;
      std::printf("kept %llu\n", static_cast<unsigned long long>(shown));
    }
    std::this_thread::sleep_until(start + std::chrono::microseconds(heard * 1'000'000 / 48000));
  }
}
