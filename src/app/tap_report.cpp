#include "app/tap_report.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "cutting/speeds.hpp"
#include "setup/taps.hpp"

namespace hushmill::app {

namespace {
constexpr int kMostWaves = 10;  // pockets past that are too narrow to aim at (common practice, no published source)
constexpr double kSlowestRpm = 500;
constexpr double kFastestRpm = 40000;

double rounded(double value, double step) { return std::round(value / step) * step; }
double digits(double value, int count) {
  if (value == 0 || !std::isfinite(value)) return 0;
  const double scale = std::pow(10, count - 1 - std::floor(std::log10(std::abs(value))));
  return std::round(value * scale) / scale;
}
}  // namespace

std::vector<std::string> tap_cautions() {
  return {
      "Spindle stopped and locked out by local rules before anybody reaches in; shop rules, the makers' instructions and qualified people come first.",
      "A small hammer with a soft face; tap lightly, never on a cutting edge: edges chip and cut. Eye protection.",
      "Tap the tool at the end of its shank near the flutes, across its axis, in feed direction and across; then the part in its hold at the wall that will be cut.",
      "Microphone a hand's width away, on a stand, not touching anything. Two seconds of quiet first, then three to five taps, each left to ring out.",
      "Compare with the room: what sounds without a tap is no mode.",
  };
}

std::vector<Pocket> pockets(const tap::Findings& findings, int flutes, double from_rpm, double to_rpm) {
  std::vector<Pocket> list;
  if (findings.modes.empty() || flutes < 1) return list;
  const auto strongest = std::max_element(findings.modes.begin(), findings.modes.end(), [](const auto& a, const auto& b) { return a.level_db < b.level_db; });
  for (int waves = 1; waves <= kMostWaves; ++waves) {
    const double rpm = cutting::in_phase_rpm(strongest->natural_hz, flutes, waves);
    if (rpm >= from_rpm && rpm <= to_rpm) list.push_back({strongest->natural_hz, waves, rpm});
  }
  return list;
}

Json to_json(const TapReport& report) {
  const auto& f = report.findings;
  Json modes = Json::array();
  for (const auto& mode : f.modes)
    modes.push_back({{"natural_hz", digits(mode.natural_hz, 7)},
                     {"damping_ratio", digits(mode.damping_ratio, 5)},
                     {"taps_agreeing", mode.taps_agreeing},
                     {"natural_hz_spread", digits(mode.natural_hz_spread, 3)},
                     {"damping_ratio_spread", digits(mode.damping_ratio_spread, 3)},
                     {"damped_hz", digits(mode.damped_hz, 7)},
                     {"level_db", rounded(mode.level_db, 0.01)},
                     {"ring_s", digits(mode.ring_s, 4)}});
  Json rejected = Json::array();
  for (const auto& tap : f.rejected) rejected.push_back({{"at_s", rounded(tap.at_s, 1e-3)}, {"why", tap::word(tap.why)}});
  Json times = Json::array();
  for (const double at_s : f.tap_s) times.push_back(rounded(at_s, 1e-3));
  Json warnings = Json::array();
  for (const auto warning : f.warnings) warnings.push_back({{"code", tap::word(warning)}, {"text", tap::text(warning)}});
  Json tones = Json::array();
  for (const double hz : f.room_tones_hz) tones.push_back(digits(hz, 5));
  Json list = Json::array();
  for (const auto& pocket : pockets(f, report.flutes, kSlowestRpm, kFastestRpm))
    list.push_back({{"natural_hz", digits(pocket.natural_hz, 7)}, {"waves_per_tooth", pocket.waves}, {"spindle_rpm", rounded(pocket.spindle_rpm, 0.1)}});
  return Json{{"taps", f.tap_s.size()},
              {"modes", modes},
              {"warnings", warnings},
              {"source", report.source},
              {"sample_rate_hz", report.sample_rate_hz},
              {"heard_s", rounded(f.heard_s, 1e-3)},
              {"on", report.on ? Json(setup::word(*report.on)) : Json(nullptr)},
              {"tap_times_s", times},
              {"rejected", rejected},
              {"room_tones_hz", tones},
              {"room_dbfs", f.room_heard ? Json(rounded(f.room_dbfs, 0.1)) : Json(nullptr)},
              {"over_room_db", f.room_heard ? Json(rounded(f.over_room_db, 0.1)) : Json(nullptr)},
              {"pockets", list}};
}

std::string to_text(const TapReport& report) {
  const auto& f = report.findings;
  std::string text;
  if (!report.cautions_told)
    for (const auto& caution : tap_cautions()) text += "Caution: " + caution + "\n";
  text += fmt::format("{}: {:.1f} s at {:.0f} Hz, {} {} that count{}", report.source, f.heard_s, report.sample_rate_hz, f.tap_s.size(), f.tap_s.size() == 1 ? "tap" : "taps", f.tap_s.size() == 1 ? "s" : "");
  text += f.tap_s.empty() || !f.room_heard ? "\n" : fmt::format(", {:.0f} dB over the room\n", f.over_room_db);
  for (const auto& tap : f.rejected) {
    std::string why(tap::word(tap.why));
    std::replace(why.begin(), why.end(), '_', ' ');
    text += fmt::format("Left out: the tap at {:.2f} s, {}\n", tap.at_s, why);
  }
  for (const double hz : f.room_tones_hz) text += fmt::format("Room: a tone at {:.1f} Hz\n", hz);
  if (!f.modes.empty()) text += "   natural Hz  spread    damping %  spread   taps   level dB\n";
  for (const auto& mode : f.modes)
    text += fmt::format("  {:11.2f}  {:6.2f}  {:11.3f}  {:6.3f}  {:2} of {:<2} {:7.1f}\n", mode.natural_hz, mode.natural_hz_spread, 100 * mode.damping_ratio,
                        100 * mode.damping_ratio_spread, mode.taps_agreeing, f.tap_s.size(), mode.level_db);
  const auto list = pockets(f, report.flutes, kSlowestRpm, kFastestRpm);
  if (!list.empty()) {
    text += fmt::format("Pockets of {:.0f} Hz for {} flutes:", list.front().natural_hz, report.flutes);
    for (const auto& pocket : list) text += fmt::format(" {:.0f}", pocket.spindle_rpm);
    text += " rev/min.\nChatter comes near the natural frequency; cuts are likely quiet near these speeds. Relative only: a microphone gives no\n"
            "stiffness, so nobody knows from this how deep. Should another mode be the one that chatters, the teeth shake this one near these speeds,\nand the advice leaves them out. Never above the lowest of spindle, holder and tool limit.\n";
  }
  for (const auto warning : f.warnings) text += "Note: " + std::string(tap::text(warning)) + "\n";
  return text;
}

}  // namespace hushmill::app
