#include "bench/hour.hpp"

#include <algorithm>
#include <chrono>
#include <memory>
#include <span>
#include <string>
#include <utility>

#include "bench/machine.hpp"
#include "capture/source.hpp"
#include "live/listening.hpp"

namespace hushmill::bench {
namespace {

constexpr double kHourS = 3600;
constexpr double kSettledS = 600;  // by then every kind of sound was heard ten times
constexpr double kStepS = 0.1;     // what one step hears
constexpr int kStatesPerStep = 4;  // 40 a second, as the screen gets

class Loop : public capture::Source {
 public:
  Loop(std::vector<float> sound, double rate_hz) : sound_(std::move(sound)), rate_hz_(rate_hz) {}
  double sample_rate_hz() const noexcept override { return rate_hz_; }
  std::string name() const override { return "loop"; }
  bool ended() const noexcept override { return false; }
  std::size_t read(std::span<float> samples) override {
    const std::size_t some = std::min(samples.size(), sound_.size() - at_);
    std::copy_n(sound_.begin() + static_cast<std::ptrdiff_t>(at_), some, samples.begin());
    at_ = (at_ + some) % sound_.size();
    return some;
  }

 private:
  std::vector<float> sound_;
  double rate_hz_;
  std::size_t at_ = 0;
};

}  // namespace

void report_hour(Report& report, std::vector<float> minute, double rate_hz, double rpm, int flutes) {
  live::LiveSettings settings;
  settings.card.programmed_rpm = rpm;
  settings.card.flutes = flutes;
  settings.kind = live::SourceKind::recording;
  settings.real_time = false;
  live::Listening::Time now{};
  live::Listening listening(settings, std::make_unique<Loop>(std::move(minute), rate_hz), now);
  live::State state;
  double settled_bytes = 0;
  const double before = processor_seconds();
  for (double heard_s = 0; heard_s < kHourS; heard_s += kStepS) {
    listening.step(now);
    now += std::chrono::milliseconds(static_cast<int>(1000 * kStepS));
    for (int i = 0; i < kStatesPerStep; ++i) listening.fill(state, true);
    if (settled_bytes == 0 && heard_s >= kSettledS) settled_bytes = resident_bytes();
  }
  const double took_s = processor_seconds() - before;
  report.note(
      "an hour of the running instrument without its screen: listener, advice, 40 states a second; processor time");
  report.figure("live engine, share of one core", 100 * took_s / kHourS, "%", at_most(5));
  report.figure("memory after ten minutes", settled_bytes / 1e6, "MB");
  report.figure("memory gained in the 50 minutes after", (resident_bytes() - settled_bytes) / 1e6, "MB", at_most(1));
  report.figure("episodes heard in that hour", static_cast<double>(state.episode_count), "episodes");
}

}  // namespace hushmill::bench
