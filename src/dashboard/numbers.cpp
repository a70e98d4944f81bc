#include "dashboard/numbers.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>

namespace hushmill::dashboard {

Words grouped(double value, int decimals) {
  if (!std::isfinite(value)) return kDash;
  std::array<char, 400> written{};
  std::snprintf(written.data(), written.size(), "%.*f", std::clamp(decimals, 0, 6), std::abs(value));
  const std::string_view plain(written.data());
  const bool zero = plain.find_first_not_of("0.") == std::string_view::npos;
  const auto whole = std::min(plain.find('.'), plain.size());
  Words text = value < 0 && !zero ? kMinus : "";
  for (std::size_t at = 0; at < whole; ++at) {
    if (at > 0 && (whole - at) % 3 == 0) text.append(kThinGap);
    text.push_back(plain[at]);
  }
  text.append(plain.substr(whole));
  return text;
}

Words trimmed(double value, int most) {
  Words text = grouped(value, most);
  if (!text.contains(".")) return text;
  while (text.back() == '0') text.cut_to(text.size() - 1);
  if (text.back() == '.') text.cut_to(text.size() - 1);
  return text == kMinus + Words("0") ? Words("0") : text;
}

Words in_hz(double hz) { return grouped(hz, std::abs(hz) < 100 ? 1 : 0) + kThinGap + "Hz"; }

Words in_percent(double share) { return grouped(100 * share) + kThinGap + "%"; }

Words in_time(double s) {
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

Words in_db(double db, int decimals) { return grouped(db, decimals) + kThinGap + "dB"; }

Words note_of(double hz) {
  static constexpr std::array<const char*, 12> kNames{"C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B"};
  if (!(hz > 16) || !(hz < 16000)) return {};
  const double semitones = 69 + 12 * std::log2(hz / 440.0);
  const int nearest = static_cast<int>(std::lround(semitones));
  const int cents = static_cast<int>(std::lround(100 * (semitones - nearest)));
  Words name = Words(kNames[static_cast<std::size_t>(nearest % 12)]) + std::to_string(nearest / 12 - 1);
  if (cents == 0) return name;
  return name + " " + (cents < 0 ? kMinus : "+") + std::to_string(std::abs(cents)) + " cents";
}

Spellings spellings(double value, int most_decimals) {
  Spellings found{trimmed(value, most_decimals)};
  if (const Words whole = grouped(value); std::abs(value) >= 100 && whole != found.front())
    found.push_back(whole);
  std::array<char, 32> power{};
  std::snprintf(power.data(), power.size(), "%.1e", value);
  if (std::isfinite(value)) found.push_back(power.data());
  return found;
}

Words counted(int count) {
  static constexpr std::array<const char*, 10> kWords{"no",   "one", "two",   "three", "four",
                                                      "five", "six", "seven", "eight", "nine"};
  return count >= 0 && count <= 9 ? Words(kWords[static_cast<std::size_t>(count)]) : Words(std::to_string(count));
}

}  // namespace hushmill::dashboard
