// Numbers as people of the shop write them. Pure; a value that is not finite reads as a dash, never as "nan".
#pragma once

#include "dashboard/words.hpp"

namespace hushmill::dashboard {

/// Between groups of three digits and before a unit: does not break a line; the canvas draws it narrow.
inline constexpr const char* kThinGap = "\xC2\xA0";
inline constexpr const char* kMinus = "\xE2\x88\x92";
inline constexpr const char* kDot = " \xC2\xB7 ";
inline constexpr const char* kDash = "\xE2\x80\x93";

/// "1 000 000", "−99 999.99". Trailing zeros stay; "−0" never appears.
Words grouped(double value, int decimals = 0);
/// As `grouped`, with as many decimals up to `most` as the value needs: "12", "0.05", "4.5".
Words trimmed(double value, int most);
/// "1 370 Hz"; one decimal below 100 Hz.
Words in_hz(double hz);
/// A share 0 to 1 as "64 %".
Words in_percent(double share);
/// "0.4 s", "12 s", "3 min 05 s", "2 h 14 min".
Words in_time(double s);
/// "−19 dB".
Words in_db(double db, int decimals = 0);
/// The nearest note of the equal-tempered scale, A4 = 440 Hz (ISO 16:1975): "F6 −33 cents"; empty outside C0 to B9.
Words note_of(double hz);
/// Spellings of a written number for narrow places, best first: itself, without decimals, as a power of ten.
Spellings spellings(double value, int most_decimals);
/// One, two … nine in words, then digits.
Words counted(int count);

}  // namespace hushmill::dashboard
