// How fast `review` goes: ten minutes of the simulated machine, beside the bare cost of one 4096-point real transform
// for every 512 samples. Both are timed in turns in the same run, in processor time, and the best of the turns counts.
#include <kiss_fftr.h>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <filesystem>
#include <limits>
#include <memory>
#include <span>
#include <stdexcept>
#include <utility>
#include <vector>

#include "app/review.hpp"
#include "app/scripted_rig.hpp"
#include "bench/hour.hpp"
#include "bench/machine.hpp"
#include "bench/sections.hpp"
#include "capture/recording.hpp"
#include "capture/recording_writer.hpp"
#include "rig/rig_settings.hpp"
#include "support/additive_shop.hpp"
#include "support/temporary_folder.hpp"

namespace hushmill::bench {
namespace {

constexpr double kLengthS = 600;
constexpr double kTurnS = 60;
constexpr int kTurns = 3;
constexpr double kRpm = 6800;
constexpr int kFlutes = 4;
constexpr std::size_t kTransform = 4096;
constexpr std::size_t kStep = 512;

// Every minute: air, a healthy cut, the deeper pass that chatters, air again. So every part of the engine has work.
std::vector<app::RigChange> plan() {
  std::vector<app::RigChange> changes;
  const auto at = [&](double at_s) -> app::RigChange& {
    app::RigChange& change = changes.emplace_back();
    change.at_s = at_s;
    return change;
  };
  for (double from_s = 0; from_s < kLengthS; from_s += kTurnS) {
    at(from_s).depth_mm = 1.2;
    at(from_s + 5).in_cut = true;
    at(from_s + 30).depth_mm = 3.0;
    at(from_s + 50).in_cut = false;
  }
  return changes;
}

void write_sound(const std::filesystem::path& file) {
  auto settings = rig::bracket_wall();
  settings.start.in_cut = false;
  app::ScriptedRig source(settings, plan());
  capture::RecordingWriter writer(file, {.sample_rate_hz = settings.sample_rate_hz,
                                         .channels = 1,
                                         .depth = capture::SampleDepth::bits16,
                                         .comment = "simulated"});
  std::vector<float> block(4800);
  const auto all = static_cast<std::int64_t>(kLengthS * settings.sample_rate_hz);
  for (std::int64_t done = 0; done < all; done += static_cast<std::int64_t>(block.size())) {
    source.read(block);
    writer.write(block);
  }
  writer.close();
}

struct Plan {
  void operator()(kiss_fftr_state* plan) const noexcept { kiss_fftr_free(plan); }
};

// Out of place, over noise that changes from call to call, so that nothing can be left out.
double bare_transforms_s(std::size_t count) {
  const std::unique_ptr<kiss_fftr_state, Plan> plan(kiss_fftr_alloc(static_cast<int>(kTransform), 0, nullptr, nullptr));
  if (!plan) throw std::bad_alloc();
  test::Chance chance(1);
  std::vector<float> noise(kTransform + 16 * kStep);
  for (float& x : noise) x = static_cast<float>(0.1 * chance.normal());
  std::vector<kiss_fft_cpx> bins(kTransform / 2 + 1);
  float kept = 0;
  const double before = processor_seconds();
  for (std::size_t i = 0; i < count; ++i) {
    kiss_fftr(plan.get(), noise.data() + (i % 16) * kStep, bins.data());
    kept += bins[i % bins.size()].r;
  }
  const double took_s = processor_seconds() - before;
  if (!std::isfinite(kept)) throw std::runtime_error("the bare transform gave no number");
  return took_s;
}

double review_s(const std::filesystem::path& file, double& rate_hz, std::size_t& episodes) {
  app::CutOptions cut;
  cut.spindle_rpm = kRpm;
  cut.flutes = kFlutes;
  const double before = processor_seconds();
  capture::Recording recording(file);
  const auto result = app::review(recording, file.filename().string(), cut);
  const double took_s = processor_seconds() - before;
  if (std::abs(result.duration_s - kLengthS) > 0.01) throw std::runtime_error("the review did not hear the whole file");
  rate_hz = result.sample_rate_hz;
  episodes = result.findings.episodes.size();
  return took_s;
}

}  // namespace

void speed(Report& report) {
  const test::TemporaryFolder folder;
  const auto file = folder / "ten-minutes.wav";
  const double before = processor_seconds();
  write_sound(file);
  const double simulate_s = processor_seconds() - before;

  double bare_s = std::numeric_limits<double>::infinity();
  double heard_s = bare_s;
  double rate_hz = 48000;
  std::size_t episodes = 0;
  for (int turn = 0; turn < kTurns; ++turn) {
    heard_s = std::min(heard_s, review_s(file, rate_hz, episodes));
    const auto transforms = static_cast<std::size_t>(kLengthS * rate_hz) / kStep;
    bare_s = std::min(bare_s, bare_transforms_s(transforms));
  }
  report.note("review of 600 s at 48 kHz mono, 16 bits, from the simulated machine; processor time, best of 3 turns");
  report.figure("review, times real time on one core", kLengthS / heard_s, "x", at_least(100));
  report.figure("review over the bare transforms (4096 points each 512)", heard_s / bare_s, "ratio", at_most(3));
  report.figure("review of ten minutes", heard_s, "s");
  report.figure("bare transforms of ten minutes", bare_s, "s");
  report.figure("one bare transform", 1e6 * bare_s / (kLengthS * rate_hz / static_cast<double>(kStep)), "us");
  report.figure("episodes heard in ten deeper passes", static_cast<double>(episodes), "episodes");
  report.figure("simulated machine with file, times real time", kLengthS / simulate_s, "x");

  capture::Recording recording(file);
  std::vector<float> minute(static_cast<std::size_t>(kTurnS * rate_hz));
  std::size_t read = 0;
  while (read < minute.size() && !recording.ended()) read += recording.read(std::span(minute).subspan(read));
  if (read < minute.size()) throw std::runtime_error("the first minute could not be read");
  report_hour(report, std::move(minute), rate_hz, kRpm, kFlutes);
}

}  // namespace hushmill::bench
