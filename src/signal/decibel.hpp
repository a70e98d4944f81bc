// Decibels of power and of amplitude. Levels are dBFS where a full-scale sine reads 0.
#pragma once

#include <algorithm>
#include <cmath>

namespace hushmill::signal {

/// The level that stands for silence; keeps logarithms finite.
inline constexpr double kSilenceDb = -200.0;

/// 10·lg of a power ratio, never below kSilenceDb.
inline double power_db(double power) noexcept { return power > 1e-20 ? 10.0 * std::log10(power) : kSilenceDb; }
/// Whole spectra are turned to and fro: the logarithm to base two is the quickest one.
inline constexpr float kDbPerOctave = 3.01029996F;  // of power
inline float power_db(float power) noexcept { return power > 1e-20F ? kDbPerOctave * std::log2(power) : -200.0F; }

/// 20·lg of an amplitude ratio, never below kSilenceDb.
inline double amplitude_db(double amplitude) noexcept { return power_db(amplitude * amplitude); }

inline double power_from_db(double db) noexcept { return std::pow(10.0, db / 10.0); }

}  // namespace hushmill::signal
