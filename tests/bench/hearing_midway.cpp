#include "bench/hearing_midway.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <span>
#include <vector>

#include "bench/side_by_side.hpp"
#include "listen/listener.hpp"
#include "support/milling_corpus.hpp"

namespace hushmill::bench {
namespace {

constexpr int kCuts = 240;
constexpr double kIntoS = 1;    // into the chatter, or the cut
constexpr double kLeastS = 2.5;  // that are left of it
constexpr double kNamedS = 2;

struct Met {
  bool counts = false, chatter = false, named = false, alarmed = false;
};

template <class Settings>
Settings settings_of(std::uint64_t seed, bool chatter) {
  Settings settings;
  settings.seed = seed;
  settings.duration_s = 12;
  settings.chatter = chatter;
  settings.cut_over_room_db = 8 + 4.0 * static_cast<double>(seed % 4);
  return settings;
}

test::ShopSound made(std::uint64_t seed, bool additive, bool chatter) {
  return additive ? test::make_shop_sound(settings_of<test::ShopSettings>(seed, chatter))
                  : test::make_milling_sound(settings_of<test::MillingSettings>(seed, chatter));
}

Met meet(std::uint64_t seed) {
  Met met;
  met.chatter = seed % 4 < 2;
  const auto shop = made(seed, seed % 2 == 0, met.chatter);
  if (met.chatter != shop.chatter) return met;  // was to chatter and did not: neither one nor the other
  const double from_s = (met.chatter ? shop.onset_s : shop.cut_start_s) + kIntoS;
  const double to_s = met.chatter ? shop.chatter_end_s : shop.cut_end_s;
  met.counts = to_s - from_s >= kLeastS;
  if (!met.counts) return met;
  listen::Listener listener({shop.sample_rate_hz, shop.entered_rpm, shop.flutes});
  const auto sample = [&](double t_s) { return std::min(shop.samples.size(), static_cast<std::size_t>(t_s * shop.sample_rate_hz)); };
  listener.process(std::span<const float>(shop.samples).subspan(sample(from_s), sample(to_s) - sample(from_s)));
  listener.finish();
  const auto& episodes = listener.findings().episodes;
  met.alarmed = !episodes.empty();
  met.named = met.alarmed && episodes.front().alert_s <= kNamedS;
  return met;
}

}  // namespace

void report_midway(Report& report, std::uint64_t first_seed) {
  std::vector<Met> all(kCuts);
  side_by_side(all.size(), [&](std::size_t i) { all[i] = meet(first_seed + i); });
  int chattering = 0, named = 0, steady = 0, alarmed = 0;
  for (const Met& met : all) {
    if (!met.counts) continue;
    (met.chatter ? chattering : steady) += 1;
    named += met.chatter && met.named;
    alarmed += !met.chatter && met.alarmed;
  }
  report.note(fmt::format("listening begins {} s into chatter ({} cuts) or into a steady cut ({} cuts), seeds from {}: {} named, {} alarmed", kIntoS, chattering, steady, first_seed,
                          named, alarmed));
  report.figure("chatter that was there already is named within 2 s", 100.0 * named / std::max(1, chattering), "%");
  report.figure("steady cuts met midway that are alarmed", 100.0 * alarmed / std::max(1, steady), "%");
}

}  // namespace hushmill::bench
