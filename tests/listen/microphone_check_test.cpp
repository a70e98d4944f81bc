// The guided check on made-up rooms, claps and tones. All data are invented.
#include <algorithm>
#include <cmath>
#include <numbers>

#include "listen/microphone_check.hpp"
#include "support/additive_shop.hpp"
#include "support/catch.hpp"
#include "support/microphone_faults.hpp"

using namespace hushmill;
using listen::CheckResult;
using listen::Warning;

namespace {
constexpr double kRate = 48000;

void add_clap(test::Samples& x, double at_s, double peak) {
  test::Chance chance(static_cast<std::uint64_t>(1000 * at_s));
  const auto from = static_cast<std::size_t>(at_s * kRate);
  for (std::size_t i = 0; i < 9600 && from + i < x.size(); ++i)
    x[from + i] += static_cast<float>(0.35 * peak * chance.normal() * std::exp(-static_cast<double>(i) / 700));
}

void add_tone(test::Samples& x, double from_s, double to_s, double hz, double peak) {
  for (auto i = static_cast<std::size_t>(from_s * kRate); i < static_cast<std::size_t>(to_s * kRate) && i < x.size(); ++i) {
    const double t = static_cast<double>(i) / kRate;
    const double soft = std::clamp(std::min(t - from_s, to_s - t) / 0.02, 0.0, 1.0);
    x[i] += static_cast<float>(peak * soft * std::sin(2 * std::numbers::pi * hz * t));
  }
}

/// Room, three claps, a tone of five seconds, quiet: what a person does who is guided.
test::Samples guided(double tone_hz = 1000) {
  test::Chance chance(5);
  test::Samples x(static_cast<std::size_t>(16 * kRate));
  for (float& v : x) v = static_cast<float>(0.001 * chance.normal());
  for (const double at_s : {4.0, 5.0, 6.0}) add_clap(x, at_s, 0.7);
  add_tone(x, 7, 12, tone_hz, 0.1);
  return x;
}

listen::CheckState checked(const test::Samples& x, std::size_t block = 960) {
  listen::MicrophoneCheck check({.sample_rate_hz = kRate});
  for (std::size_t at = 0; at < x.size(); at += block) check.process(std::span<const float>(x).subspan(at, std::min(block, x.size() - at)));
  check.finish();
  return check.state();
}

bool names(const listen::CheckState& state, Warning code) {
  return std::any_of(state.faults.begin(), state.faults.end(), [&](const auto& fault) { return fault.code == code; });
}
}  // namespace

TEST_CASE("a guided check of a sound microphone passes, and says what it heard") {
  const auto state = checked(guided());
  CHECK(state.result == CheckResult::pass);
  CHECK(state.faults.empty());
  CHECK(state.claps == 3);
  REQUIRE(state.tone);
  CHECK(std::abs(state.tone->hz - 1000) < 1);
  CHECK(std::abs(state.tone->lasted_s - 5) < 0.3);
  CHECK(std::abs(state.tone->dbfs + 20) < 0.5);
  CHECK(std::abs(state.tone->change_db) < 0.5);
  CHECK(std::abs(state.room_dbfs + 57) < 1);
  CHECK(state.tone_tried);
  CHECK(checked(guided(), 7).heard_s == state.heard_s);
}

TEST_CASE("each fault done to the same check is named") {
  const auto x = guided();
  for (const auto& fault : test::microphone_faults()) {
    // The gain's own test needs a floor before and after; here the tone tells, so all are asked for.
    INFO(fault.name);
    const auto state = checked(fault.make(x, kRate));
    CHECK(state.result == CheckResult::fault);
    if (fault.name == "pieces missing") continue;  // any fault will do: splices in a quiet room are too small to hear
    CHECK(names(state, fault.code));
  }
}

TEST_CASE("a tone that was made at 44.1 kHz and is heard at 48 says so by its frequency") {
  const auto state = checked(guided(1000 * 48.0 / 44.1));
  CHECK(state.result == CheckResult::fault);
  CHECK(names(state, Warning::rate_mismatch));
}

TEST_CASE("somebody's whistle at another pitch is no wrong rate") { CHECK(checked(guided(1210)).result == CheckResult::pass); }

TEST_CASE("claps alone pass, but steady tones are not called tried; a silent person leaves it unfinished") {
  test::Chance chance(6);
  test::Samples x(static_cast<std::size_t>(9 * kRate));
  for (float& v : x) v = static_cast<float>(0.001 * chance.normal());
  CHECK(checked(x).result == CheckResult::unfinished);
  add_clap(x, 5, 0.5);
  const auto state = checked(x);
  CHECK(state.result == CheckResult::pass);
  CHECK(state.claps == 1);
  CHECK_FALSE(state.tone_tried);
}

TEST_CASE("a tone without a clap is no pass: it may be a machine's") {
  test::Chance chance(7);
  test::Samples x(static_cast<std::size_t>(12 * kRate));
  for (std::size_t i = 0; i < x.size(); ++i) {
    const double t_s = static_cast<double>(i) / kRate;
    x[i] = static_cast<float>(0.001 * chance.normal() + (t_s > 4 && t_s < 9 ? 0.1 * std::sin(2 * std::numbers::pi * 1000 * t_s) : 0));
  }
  const auto state = checked(x);
  CHECK(state.tone);
  CHECK(state.result == CheckResult::unfinished);
}

TEST_CASE("a fault that only the door knows of is a fault of the check") {
  listen::MicrophoneCheck check({.sample_rate_hz = kRate});
  check.process(guided());
  CHECK(check.over());
  check.note(Warning::sides_cancel);
  CHECK(check.state().result == CheckResult::fault);
  CHECK(names(check.state(), Warning::sides_cancel));
}

TEST_CASE("a tone or a rate out of range is refused by name") {
  CHECK_THROWS_AS(listen::MicrophoneCheck({.tone_hz = 50}), std::invalid_argument);
  CHECK_THROWS_AS(listen::MicrophoneCheck({.sample_rate_hz = 8000}), std::invalid_argument);
}
