#include "dashboard/numbers.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>

namespace hushmill::dashboard {

std::string grouped(double value, int decimals) {
  if (!std::isfinite(value)) return kDash;
  std::array<char, 400> digits{};
  std::snprintf(digits.data(), digits.size(), "%.*f", std::clamp(decimals, 0, 6), std::abs(value));
  std::string plain(digits.data());
  const bool zero = plain.find_first_not_of("0.") == std::string::npos;
  const auto whole = std::min(plain.find('.'), plain.size());
  for (auto at = static_cast<std::ptrdiff_t>(whole) - 3; at > 0; at -= 3) {
    plain.insert(static_cast<std::size_t>(at), kThinGap);
  }
  return value < 0 && !zero ? kMinus + plain : plain;
}

std::string trimmed(double value, int most) {
  std::string text = grouped(value, most);
  if (text.find('.') == std::string::npos) return text;
  while (text.back() == '0') text.pop_back();
  if (text.back() == '.') text.pop_back();
  return text == kMinus + std::string("0") ? "0" : text;
}

std::string in_hz(double hz) { return grouped(hz, std::abs(hz) < 100 ? 1 : 0) + kThinGap + "Hz"; }

std::string in_percent(double share) { return grouped(100 * share) + kThinGap + "%"; }

std::string in_time(double s) {
  if (!std::isfinite(s) || s < 0) return kDash;
  if (s < 9.95) return grouped(s, 1) + kThinGap + "s";
  if (s < 119.5) return grouped(s) + kThinGap + "s";
  const auto whole_s = static_cast<long long>(std::min(s + 0.5, 1e15));
  std::array<char, 64> text{};
  if (whole_s < 7200) {
    std::snprintf(text.data(), text.size(), "%lld%smin%s%02lld%ss", whole_s / 60, kThinGap, kThinGap, whole_s % 60,
                  kThinGap);
  } else {
    std::snprintf(text.data(), text.size(), "%lld%sh%s%02lld%smin", whole_s / 3600, kThinGap, kThinGap,
                  whole_s % 3600 / 60, kThinGap);
  }
  return text.data();
}

std::string in_db(double db, int decimals) { return grouped(db, decimals) + kThinGap + "dB"; }

std::string note_of(double hz) {
  static constexpr std::array<const char*, 12> kNames{"C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B"};
  if (!(hz > 16) || !(hz < 16000)) return {};
  const double semitones = 69 + 12 * std::log2(hz / 440.0);
  const int nearest = static_cast<int>(std::lround(semitones));
  const int cents = static_cast<int>(std::lround(100 * (semitones - nearest)));
  const std::string name = kNames[static_cast<std::size_t>(nearest % 12)] + std::to_string(nearest / 12 - 1);
  if (cents == 0) return name;
  return name + " " + (cents < 0 ? kMinus : "+") + std::to_string(std::abs(cents)) + " cents";
}

std::vector<std::string> spellings(double value, int most_decimals) {
  std::vector<std::string> found{trimmed(value, most_decimals)};
  if (const std::string whole = grouped(value); std::abs(value) >= 100 && whole != found.front())
    found.push_back(whole);
  std::array<char, 32> power{};
  std::snprintf(power.data(), power.size(), "%.1e", value);
  if (std::isfinite(value)) found.emplace_back(power.data());
  return found;
}

std::string counted(int count) {
  static constexpr std::array<const char*, 10> kWords{"no",   "one", "two",   "three", "four",
                                                      "five", "six", "seven", "eight", "nine"};
  return count >= 0 && count <= 9 ? kWords[static_cast<std::size_t>(count)] : std::to_string(count);
}

}  // namespace hushmill::dashboard
