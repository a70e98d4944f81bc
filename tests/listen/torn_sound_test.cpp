// Sound that lost pieces on its way: what the tears do to the spectrum is no chatter, and no quiet either.
#include <cstddef>
#include <span>
#include <vector>

#include "listen/listener.hpp"
#include "support/additive_shop.hpp"
#include "support/catch.hpp"

using namespace hushmill;

namespace {

/// Where a piece that arrived lies in what arrived, and in the whole sound.
struct ArrivedPiece {
  double heard_s = 0;
  double true_s = 0;
};

struct TornHearing {
  listen::Findings findings;
  std::vector<ArrivedPiece> pieces;

  double true_s(double heard_s) const {
    double at_s = heard_s;
    for (const ArrivedPiece& piece : pieces)
      if (heard_s >= piece.heard_s) at_s = piece.true_s + heard_s - piece.heard_s;
    return at_s;
  }
};

/// A tenth of the sound is lost, in gaps that come about every `every_s`; the door says so if `told`.
TornHearing hear_torn(const test::ShopSound& shop, double every_s, bool told) {
  constexpr double kKept = 0.9;
  listen::Listener listener({.sample_rate_hz = shop.sample_rate_hz, .spindle_rpm = shop.entered_rpm, .flutes = shop.flutes});
  test::Chance chance(7);
  TornHearing heard;
  std::size_t at = 0, arrived = 0;
  const auto length = [&](double share) { return 1 + static_cast<std::size_t>(shop.sample_rate_hz * every_s * share * chance.uniform(0.5, 1.5)); };
  while (at < shop.samples.size()) {
    heard.pieces.push_back({static_cast<double>(arrived) / shop.sample_rate_hz, static_cast<double>(at) / shop.sample_rate_hz});
    const std::size_t piece = std::min(shop.samples.size() - at, length(kKept));
    listener.process(std::span(shop.samples).subspan(at, piece));
    arrived += piece;
    at += piece + length(1 - kKept);
    if (told) listener.note_gap();
  }
  listener.finish();
  heard.findings = listener.findings();
  return heard;
}

}  // namespace

TEST_CASE("torn sound fakes no onset when the door says where it is torn; untold it does") {
  int untold = 0, told = 0;
  for (std::uint64_t seed = 5001; seed <= 5008; ++seed) {
    const auto shop = test::make_shop_sound({.seed = seed});
    untold += hear_torn(shop, 0.1, false).findings.episodes.empty() ? 0 : 1;
    for (const double every_s : {0.03, 0.1, 0.3}) told += hear_torn(shop, every_s, true).findings.episodes.empty() ? 0 : 1;
  }
  CHECK(told == 0);
  CHECK(untold > 2);  // so that this sound can fake one
}

TEST_CASE("between tears that are a second apart chatter is still heard, and never before it can have begun") {
  int found = 0;
  for (std::uint64_t seed = 5001; seed <= 5006; ++seed) {
    const auto shop = test::make_shop_sound({.seed = seed, .chatter = true});
    const auto heard = hear_torn(shop, 1, true);
    for (const auto& episode : heard.findings.episodes) CHECK(heard.true_s(episode.alert_s) > shop.unstable_from_s);
    found += heard.findings.episodes.empty() ? 0 : 1;
  }
  CHECK(found >= 5);
}

TEST_CASE("where sound is torn, and for how long nothing new can be told, is among the findings, and the verdict is unsure there") {
  const auto shop = test::make_shop_sound({.seed = 5001});
  listen::Listener listener({.sample_rate_hz = shop.sample_rate_hz, .spindle_rpm = shop.entered_rpm, .flutes = shop.flutes});
  const std::span<const float> samples(shop.samples);
  listener.process(samples.first(4 * 48000));
  const double before = listener.snapshot().confidence;
  listener.note_gap();
  listener.process(samples.subspan(4 * 48000, 1440));
  const double torn = listener.snapshot().confidence;
  listener.note_gap();
  listener.process(samples.subspan(4 * 48000 + 1440, 48000));
  CHECK(torn < before);
  CHECK_THAT(listener.snapshot().confidence, test::WithinAbs(before, 0.1));
  const auto& spans = listener.findings().torn;
  REQUIRE(spans.size() == 1);
  CHECK_THAT(spans[0].from_s, test::WithinAbs(4, 1e-9));
  CHECK(spans[0].to_s > 4.03 + 0.075);
  CHECK(spans[0].to_s < 5);
}
