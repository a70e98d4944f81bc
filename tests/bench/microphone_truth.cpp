// Is each fault of the input named, and is clean sound left alone? Three kinds of sound by fixed seeds: random cuts of the
// milling simulator, additive shop sound with every nuisance, and the bare rig in and out of the cut three times. Every fault
// is done to every sound. The tests were tuned on seeds 3000 to 3999 of the same generators; none of them is used here.
// HUSHMILL_MICROPHONE_SOUNDS sets the number of sounds of each kind, default 24.
#include <algorithm>
#include <atomic>
#include <cmath>
#include <cstdlib>
#include <map>
#include <string>
#include <thread>
#include <vector>

#include "bench/sections.hpp"
#include "listen/listener.hpp"
#include "support/microphone_faults.hpp"
#include "support/microphone_sounds.hpp"

namespace hushmill::bench {
namespace {

struct Trial {
  std::vector<listen::Warning> on_clean;
  std::vector<bool> named;                             // fault by fault
  std::vector<std::vector<listen::Warning>> besides;   // other input warnings on the same faulty sound
};

std::vector<listen::Warning> input_warnings(const test::ShopSound& shop, const test::Samples& samples) {
  listen::Listener listener({shop.sample_rate_hz, shop.entered_rpm, shop.flutes});
  listener.process(samples);
  listener.finish();
  std::vector<listen::Warning> found;
  for (const auto warning : listener.findings().warnings)
    if (test::is_of_the_input(warning)) found.push_back(warning);
  return found;
}

Trial try_sound(test::SoundKind kind, std::uint64_t seed) {
  Trial trial;
  const auto shop = test::make_microphone_sound(kind, seed);
  trial.on_clean = input_warnings(shop, shop.samples);
  for (const auto& fault : test::microphone_faults()) {
    const auto found = input_warnings(shop, fault.make(shop.samples, shop.sample_rate_hz));
    trial.named.push_back(std::find(found.begin(), found.end(), fault.code) != found.end());
    trial.besides.emplace_back();
    for (const auto warning : found)
      if (warning != fault.code) trial.besides.back().push_back(warning);
  }
  return trial;
}

}  // namespace

void microphone(Report& report) {
  const char* asked = std::getenv("HUSHMILL_MICROPHONE_SOUNDS");
  const char* first = std::getenv("HUSHMILL_MICROPHONE_FIRST_SEED");
  const int sounds = asked != nullptr ? std::clamp(std::atoi(asked), 1, 2000) : 24;
  const auto first_seed = static_cast<std::uint64_t>(first != nullptr ? std::atoi(first) : 40000);
  const auto faults = test::microphone_faults();
  for (const auto kind : {test::SoundKind::simulated, test::SoundKind::additive, test::SoundKind::rig_in_and_out}) {
    const std::string name = test::word(kind);
    std::vector<Trial> trials(static_cast<std::size_t>(sounds));
    std::atomic<int> next{0};
    const auto work = [&] {
      for (int id = next++; id < sounds; id = next++) trials[static_cast<std::size_t>(id)] = try_sound(kind, first_seed + static_cast<std::uint64_t>(id));
    };
    std::thread second(work);
    work();
    second.join();

    int warned = 0;
    for (std::size_t id = 0; id < trials.size(); ++id) {
      warned += trials[id].on_clean.empty() ? 0 : 1;
      for (const auto warning : trials[id].on_clean)
        report.note(name + ", clean, seed " + std::to_string(first_seed + id) + ": " + std::string(listen::word(warning)));
    }
    report.figure(name + ", clean sounds warned of", 100.0 * warned / sounds, "%", at_most(2));
    for (std::size_t f = 0; f < faults.size(); ++f) {
      int named = 0;
      std::map<std::string_view, int> besides;
      for (const Trial& trial : trials) {
        named += trial.named[f] ? 1 : 0;
        for (const auto warning : trial.besides[f]) ++besides[listen::word(warning)];
      }
      report.figure(name + ", named: " + faults[f].name, 100.0 * named / sounds, "%");
      for (const auto& [code, times] : besides)
        report.note("  " + faults[f].name + ": beside it " + std::string(code) + " on " + std::to_string(times) + " of " + std::to_string(sounds));
    }
  }
}

}  // namespace hushmill::bench
